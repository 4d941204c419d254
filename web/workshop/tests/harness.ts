// A workshop of its own for each test: the real program on a copy of the demo
// project, and a browser that may load nothing from elsewhere.
import { type ChildProcess, spawn } from "node:child_process";
import { mkdirSync, readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Browser, BrowserContext, BrowserContextOptions, Page } from "playwright-core";
import { expect } from "vitest";
import { audit, launch as launched, pictures } from "../../browser.ts";
import { quayside } from "../../quayside.ts";

const root = fileURLToPath(new URL("../../..", import.meta.url));
const target = process.env["TARGET"] ?? join(root, "target");
export const pinfold = process.env["PINFOLD"] ?? join(target, "debug/pinfold");
/** The program that questions are put to: another one while commands are being worked on. */
export const asked = process.env["PINFOLD_PROGRAM"] ?? pinfold;

/** Solids are drawn by software. */
export const launch = () => launched(["--use-angle=swiftshader", "--enable-unsafe-swiftshader"]);

/** A server on its own copy of the demo project. */
export class Workshop {
  readonly folder: string;
  address = "";
  /** What the program said when it began. */
  told: { workshop: string; play: string | null; token: string; built: boolean } = { workshop: "", play: null, token: "", built: false };
  #more: string[] = [];
  #program: ChildProcess | undefined;

  private constructor(folder: string) {
    this.folder = folder;
  }

  static async open(more: string[] = []): Promise<Workshop> {
    const folder = quayside();
    const workshop = new Workshop(folder);
    workshop.#more = more;
    await workshop.start();
    return workshop;
  }

  async start(port = 0): Promise<void> {
    const args = ["workshop", "--project", this.folder, "--port", String(port), "--no-open", "--json", ...this.#more];
    const pages = process.env["PINFOLD_PAGES"];
    if (pages) args.push("--pages", pages);
    if (asked !== pinfold) args.push("--program", asked);
    const program = spawn(pinfold, args, { stdio: ["ignore", "pipe", "inherit"] });
    this.#program = program;
    this.address = await new Promise<string>((resolve, reject) => {
      let said = "";
      program.stdout.on("data", (bytes: Buffer) => {
        said += bytes.toString();
        try {
          const told = JSON.parse(said) as Workshop["told"];
          this.told = told;
          if (told.built) resolve(told.workshop);
          else reject(new Error("the pages are not built: cargo xtask web"));
        } catch {
          // Not all of it has come.
        }
      });
      program.on("exit", (code) => reject(new Error(`the workshop ended with ${code}: ${said}`)));
    });
  }

  /** Ends the server as a power cut would. */
  async kill(): Promise<void> {
    const program = this.#program;
    if (!program || program.exitCode !== null) return;
    const gone = new Promise((resolve) => program.on("exit", resolve));
    program.kill("SIGKILL");
    await gone;
  }

  get port(): number {
    return Number(new URL(this.address).port);
  }

  file(name: string): string {
    return join(this.folder, name);
  }
  text(name: string): string {
    return readFileSync(this.file(name), "utf8");
  }

  async token(): Promise<string> {
    const page = await (await fetch(this.address)).text();
    return /pinfold-token" content="([0-9a-f]+)"/.exec(page)?.[1] ?? "";
  }

  async close(): Promise<void> {
    await this.kill();
    rmSync(this.folder, { recursive: true, force: true });
  }
}

/** A page that is watched: no error on its console, no request to elsewhere. */
export class Watched {
  readonly page: Page;
  readonly context: BrowserContext;
  readonly errors: string[] = [];
  readonly strangers: string[] = [];
  readonly #address: string;

  private constructor(page: Page, context: BrowserContext, address: string) {
    this.page = page;
    this.context = context;
    this.#address = address;
  }

  static async open(browser: Browser, workshop: Workshop, path: string, options: BrowserContextOptions = {}): Promise<Watched> {
    const context = await browser.newContext({ viewport: { width: 1360, height: 900 }, ...options });
    const page = await context.newPage();
    const watched = new Watched(page, context, workshop.address);
    page.on("console", (message) => {
      if (message.type() === "error") watched.errors.push(`${message.text()} ${message.location().url}`);
    });
    page.on("pageerror", (error) => watched.errors.push(String(error)));
    page.on("request", (request) => {
      const url = request.url();
      if (!url.startsWith(watched.#address) && !/^(data|blob):/.test(url)) watched.strangers.push(url);
    });
    page.setDefaultTimeout(60_000);
    await page.goto(new URL(path, workshop.address).href);
    return watched;
  }

  /** A picture for a person to look at. */
  async picture(name: string): Promise<void> {
    mkdirSync(pictures, { recursive: true });
    await this.page.screenshot({ path: join(pictures, `${name}.png`), fullPage: true });
  }

  /** Nothing is found by the audit. */
  async audit(): Promise<void> {
    expect(await audit(this.page)).toEqual([]);
  }

  /** Takes the browser's note of a refusal that was meant off the list: there must be one. */
  refused(status: number): void {
    const meant = this.errors.filter((e) => e.includes(`status of ${status}`) && e.includes("/api/"));
    expect(meant.length).toBeGreaterThan(0);
    for (const error of meant) this.errors.splice(this.errors.indexOf(error), 1);
  }

  async close(): Promise<void> {
    await this.context.close();
    expect(this.errors).toEqual([]);
    expect(this.strangers).toEqual([]);
  }
}
