// The entry page as an entrant uses it: painted by mouse, by touch on a phone,
// written by keyboard alone, typed as text; what is wrong, the slip, what is
// kept, an audit, print, no requests.

import { execFileSync } from "node:child_process";
import { mkdirSync, readFileSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";
import type { Core, Covered } from "@pinfold/core";
import type { PlayedOutline } from "@pinfold/page/data.ts";
import type { Browser, BrowserContextOptions, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { askedAway, audit, launch, phone, pictures, watched } from "../../browser.ts";
import { builtCore, target } from "../../core/src/built.ts";
import { quayside } from "../../quayside.ts";
import type { EntryData } from "../src/data.ts";
import { reading } from "../src/painting.ts";

const file = resolve(target, "web/entry.html");
const address = pathToFileURL(file).href;
const outlineName = "tug";

let browser: Browser;
let data: EntryData;
let judge: Core;
let tug: PlayedOutline;
/** A valid layout, cell by cell from the top row down. */
let layout: Covered[];
let letters: string;
let written: { rows: string; short: string };

beforeAll(async () => {
  const project = quayside();
  const pinfold = process.env["PINFOLD"] ?? resolve(target, "debug/pinfold");
  const said = execFileSync(pinfold, ["race", "page", "--pack", "members", "--out", file, "--json", "--project", project]);
  expect(JSON.parse(String(said)).outlines).toContain(outlineName);
  data = JSON.parse(/id="pinfold-data">(.*?)<\/script>/s.exec(readFileSync(file, "utf8"))![1]!) as EntryData;
  tug = data.outlines.find((o) => o.name === outlineName)!;
  const asked = { cells: tug.cells, pockets: tug.pockets, spare: tug.spare };
  letters = data.art.map((a) => a.letter).join("");
  const search = await builtCore("core");
  search.open(data.set);
  const { placed } = search.count(asked, { answers: 1 }).answers[0]!;
  const owners = new Map(placed.flatMap(({ piece, pose }) => search.places(piece, pose).cells.map((c) => [String(c), piece])));
  layout = reading(tug.cells).map(([x, y]): Covered => [x, y, owners.get(`${x},${y}`)!]);
  judge = await builtCore("entry");
  judge.open({ ...data.set, letters });
  const { accepted, rows, short } = judge.painted(asked, layout);
  expect(accepted).toBe(true);
  written = { rows: rows!, short: short! };
  mkdirSync(pictures, { recursive: true });
  browser = await launch();
});
afterAll(() => browser?.close());

async function opened(options: BrowserContextOptions = {}): Promise<{ page: Page; wrongs: string[] }> {
  const seen = await watched(browser, address, { viewport: { width: 1200, height: 800 }, ...options });
  seen.page.setDefaultTimeout(60_000);
  await seen.page.goto(address);
  await seen.page.getByRole("combobox").selectOption(outlineName);
  await cell(seen.page, layout[0]!).waitFor();
  return seen;
}

const cell = (page: Page, [x, y]: readonly number[]) => page.locator(`[data-cell="${x},${y}"]`);
const choose = (page: Page, piece: number) => page.getByRole("radio", { name: data.art[piece]!.name });
const verdict = (page: Page) => page.getByLabel("What the page says").innerText();

async function valid(page: Page): Promise<void> {
  await expect.poll(() => verdict(page)).toContain("This is a valid layout.");
  expect(await page.locator("strong.code").innerText()).toBe(written.short);
  expect(await page.getByLabel("Entry slip", { exact: true }).and(page.locator("textarea")).inputValue()).toContain(`Layout: ${written.rows}`);
}

async function centre(page: Page, at: Covered): Promise<{ x: number; y: number }> {
  const box = (await cell(page, at).boundingBox())!;
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

describe("a layout is entered", () => {
  test("by mouse, in strokes and presses", async () => {
    const { page, wrongs } = await opened();
    for (const [piece] of data.art.entries()) {
      await choose(page, piece).check();
      const own = layout.filter((c) => c[2] === piece);
      // One stroke where cells lie side by side, else one press each.
      for (const [i, at] of own.entries()) {
        const { x, y } = await centre(page, at);
        const before = own[i - 1];
        const beside = before !== undefined && Math.abs(before[0] - at[0]) + Math.abs(before[1] - at[1]) === 1;
        if (beside) await page.mouse.move(x, y, { steps: 4 });
        else {
          await page.mouse.up();
          await page.mouse.move(x, y);
          await page.mouse.down();
        }
      }
      await page.mouse.up();
    }
    await valid(page);
    await page.screenshot({ path: resolve(pictures, "entry-valid.png") });
    expect(wrongs).toEqual([]);
    await page.context().close();
  });

  test("by touch on a phone", async () => {
    const { page, wrongs } = await opened(phone);
    for (const at of layout) {
      await choose(page, at[2]).tap();
      await cell(page, at).tap();
    }
    await valid(page);
    await page.screenshot({ path: resolve(pictures, "entry-phone.png"), fullPage: true });
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
    expect(wrongs).toEqual([]);
    await page.context().close();
  });

  test("by keyboard alone", async () => {
    const { page, wrongs } = await opened();
    for (let i = 0; ; i++) {
      expect(i, "the keyboard comes to the board").toBeLessThan(30);
      if (await page.evaluate(() => document.activeElement?.hasAttribute("data-cell"))) break;
      await page.keyboard.press("Tab");
    }
    // Letters go on by themselves; a slip is gone back to.
    const wrong = layout[0]![2] === 0 ? 1 : 0;
    await page.keyboard.type(`${letters[wrong]}`.toLowerCase());
    await page.keyboard.press("ArrowLeft");
    await page.keyboard.press("Home");
    await page.keyboard.type(layout.map((c) => letters[c[2]]).join("").toLowerCase());
    await valid(page);
    await page.keyboard.press("Control+z");
    await expect.poll(() => verdict(page)).toContain("21 of 22 cells covered.");
    await page.keyboard.press("Control+y");
    await valid(page);
    // On to the mark.
    for (let i = 0; ; i++) {
      expect(i, "the keyboard comes to the mark").toBeLessThan(30);
      if (await page.evaluate(() => document.activeElement?.id === "mark")) break;
      await page.keyboard.press("Tab");
    }
    await page.keyboard.type("0000 0000 0000");
    await expect.poll(() => page.locator("#mark-slips").innerText()).toContain("Not well copied: the check symbol");
    expect(wrongs).toEqual([]);
    await page.context().close();
  });

  test("typed as rows or as a code, with slips told", async () => {
    const { page, wrongs } = await opened();
    await page.getByText("Type the layout instead").click();
    const field = page.locator("#typed");
    await field.fill(`${written.rows.replace(/^./, "?")}A`);
    await expect.poll(() => page.locator("#slips").innerText()).toContain("no piece has the letter '?'");
    await field.fill(written.short.toLowerCase());
    await valid(page);
    await page.getByRole("button", { name: "Clear" }).click();
    await expect.poll(() => verdict(page)).toContain("0 of 22 cells covered.");
    await field.fill(written.rows.replaceAll("/", "\n"));
    await valid(page);
    await page.keyboard.press("Tab");
    await page.getByRole("button", { name: "Undo" }).click();
    await expect.poll(() => verdict(page)).toContain("0 of 22 cells covered.");
    expect(wrongs).toEqual([]);
    await page.context().close();
  });
});

test("what is wrong is told where it is, without the answer", async () => {
  const { page, wrongs } = await opened();
  await page.getByText("Type the layout instead").click();
  // The letters in the order of the set: shapes as they come.
  const sizes = data.set.pieces.map((p) => p.blocks.length);
  const inOrder = [...letters].flatMap((letter, piece) => Array.from({ length: sizes[piece]! }, () => letter));
  const rows = written.rows.split("/").map((row) => inOrder.splice(0, row.length).join(""));
  await page.locator("#typed").fill(rows.join("/"));
  await expect.poll(() => verdict(page)).toMatch(/22 of 22 cells covered\. \d things are not right:/);
  const says = await verdict(page);
  const asked = { cells: tug.cells, pockets: tug.pockets, spare: tug.spare };
  for (const { says: fault } of judge.written(asked, rows.join("/")).faults) expect(says).toContain(fault);
  expect(await page.locator("path.cross, circle.cross").count()).toBeGreaterThan(0);
  expect(await page.locator("strong.code").count()).toBe(0);
  await page.screenshot({ path: resolve(pictures, "entry-wrong.png") });
  // The drawn answer is never named.
  expect(await page.content()).not.toContain(written.short);
  expect(wrongs).toEqual([]);
  await page.context().close();
});

test("the slip is copied, saved and printed, and work is kept over a reload", async () => {
  const { page, wrongs } = await opened({ permissions: ["clipboard-read", "clipboard-write"] });
  const first = layout[0]!;
  await choose(page, first[2]).check();
  await cell(page, first).click();
  await page.reload();
  await cell(page, first).waitFor();
  expect(await cell(page, first).getAttribute("aria-label")).toContain(data.art[first[2]]!.name);
  await page.getByText("Type the layout instead").click();
  await page.locator("#typed").fill(written.short);
  // The mark of the number 20261125, its check symbol reckoned by another program.
  await page.getByLabel("Your entry mark").fill("0000 00ka a858");
  expect(await page.locator("#mark-slips").innerText()).toBe("Well copied: 0000-00KA-A858");
  await page.getByRole("button", { name: "Copy" }).click();
  await page.getByText("Copied.", { exact: true }).waitFor();
  const text = await page.evaluate(() => navigator.clipboard.readText());
  expect(text).toContain(`Entry mark: 0000-00KA-A858\nCode: ${written.short}`);
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save as a file" }).click()]);
  expect(download.suggestedFilename()).toBe(`entry-${outlineName}.txt`);
  expect(readFileSync(await download.path(), "utf8")).toBe(`${text}\n`);
  await page.emulateMedia({ media: "print" });
  expect(await page.locator("button:visible, input:visible, textarea:visible").count()).toBe(0);
  expect(await page.locator("pre").innerText()).toBe(text);
  await page.screenshot({ path: resolve(pictures, "entry-print.png"), fullPage: true });
  expect(wrongs).toEqual([]);
  await page.context().close();
});

describe("for everyone", () => {
  test.each(["light", "dark"] as const)("an audit finds nothing, %s", async (colorScheme) => {
    const { page, wrongs } = await opened({ colorScheme });
    expect(await audit(page)).toEqual([]);
    await page.getByText("Type the layout instead").click();
    await page.locator("#typed").fill(`${written.rows}/A`);
    await page.getByLabel("Your entry mark").fill("12");
    await cell(page, layout[3]!).click();
    await cell(page, layout[20]!).click();
    await page.screenshot({ path: resolve(pictures, `entry-${colorScheme}.png`) });
    expect(await audit(page)).toEqual([]);
    await page.locator("#typed").fill(written.rows);
    await valid(page);
    expect(await audit(page)).toEqual([]);
    await page.getByRole("button", { name: "How to" }).click();
    expect(await audit(page)).toEqual([]);
    expect(wrongs).toEqual([]);
    await page.context().close();
  });

  test("targets are large enough for fingers, on the widest outline", async () => {
    const { page } = await opened(phone);
    const width = (o: PlayedOutline) => Math.max(...o.cells.map((c) => c[0])) - Math.min(...o.cells.map((c) => c[0]));
    const widest = [...data.outlines].sort((a, b) => width(b) - width(a))[0]!;
    await page.getByRole("combobox").selectOption(widest.name);
    const sizes = await page.locator("button:visible, select:visible, label:has(input):visible, summary:visible").evaluateAll((all) =>
      all.map((e) => {
        const { width, height } = e.getBoundingClientRect();
        return { what: e.outerHTML.slice(0, 60), least: Math.min(width, height) };
      }),
    );
    expect(sizes.length).toBeGreaterThan(25);
    expect(sizes.filter((s) => s.least < 24)).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
    await page.context().close();
  });
});

test("the page can't reach anything, and has no answer in it", async () => {
  const { page, wrongs } = await opened();
  expect(await askedAway(page)).toEqual(["refused", "connect-src"]);
  expect(wrongs.filter((w) => !w.includes("Content Security Policy") && !w.includes("example.org"))).toEqual([]);
  const html = readFileSync(file, "utf8");
  const code = judge.written({ cells: tug.cells, pockets: tug.pockets, spare: tug.spare }, written.short).code!;
  for (const answer of [code, written.short, written.rows]) expect(html).not.toContain(answer);
  await page.context().close();
});
