// For tests in a browser: the browser itself, pages that are watched, audits.

import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { resolve } from "node:path";
import { type Browser, type BrowserContextOptions, chromium, type Page } from "playwright-core";

/** What is kept of a run to be looked at. */
export const pictures = resolve(import.meta.dirname, "out");

/** A quiet browser without a graphics card; `more` flags for pages that need them. */
export function launch(more: string[] = []): Promise<Browser> {
  const executablePath = process.env["CHROMIUM"] ?? "/usr/bin/chromium";
  const quiet = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
  ];
  return chromium.launch({ executablePath, headless: true, args: [...quiet, ...more] });
}

/** A page and everything that went wrong on it, or left the machine. */
export interface Watched {
  page: Page;
  wrongs: string[];
}

/** `home` is what addresses may begin with. */
export async function watched(browser: Browser, home: string, options: BrowserContextOptions = {}): Promise<Watched> {
  const context = await browser.newContext({ acceptDownloads: true, ...options });
  const page = await context.newPage();
  const wrongs: string[] = [];
  page.on("console", (m) => {
    if (m.type() === "error" || m.type() === "warning") wrongs.push(`console: ${m.text()}`);
  });
  page.on("pageerror", (e) => wrongs.push(`error: ${e.message}`));
  page.on("request", (r) => {
    if (![home, "data:", "blob:"].some((start) => r.url().startsWith(start))) wrongs.push(`request: ${r.url()}`);
  });
  return { page, wrongs };
}

export const phone: BrowserContextOptions = {
  viewport: { width: 360, height: 740 },
  deviceScaleFactor: 2,
  isMobile: true,
  hasTouch: true,
};

interface Violation {
  id: string;
  nodes: { html: string; failureSummary?: string }[];
}

/** Rules that any page has something to show for, at least: an audit with fewer saw no page. */
const LEAST_PASSES = 10;

/** What an audit by WCAG 2.2 A and AA finds, as sentences. */
export async function audit(page: Page): Promise<string[]> {
  const source = await readFile(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
  await page.evaluate(source);
  const { passes, violations } = await page.evaluate(async () => {
    const axe = (globalThis as unknown as { axe: { run(o: object): Promise<{ passes: unknown[]; violations: Violation[] }> } }).axe;
    const tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
    const told = await axe.run({ runOnly: tags });
    return { passes: told.passes.length, violations: told.violations };
  });
  const found = violations.flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.html.slice(0, 160)} ${n.failureSummary ?? ""}`));
  return passes > LEAST_PASSES ? found : [`${passes} rules passed: that was no page`, ...found];
}

/** What comes of a page's asking another machine, and the rule of its policy that forbids it. */
export async function askedAway(page: Page): Promise<string[]> {
  return page.evaluate(async () => {
    const violated = new Promise<string>((done) => {
      document.addEventListener("securitypolicyviolation", (e) => done(e.effectiveDirective), { once: true });
    });
    const answer = await fetch("https://example.org/").then(() => "reached", () => "refused");
    return [answer, await violated];
  });
}
