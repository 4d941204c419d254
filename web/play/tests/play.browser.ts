// The play page as a tester uses it: by mouse, by touch on a phone, by keyboard
// alone; refusals, the clock, what is kept, the log, an audit, no requests.

import { execFileSync } from "node:child_process";
import { mkdirSync, readFileSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";
import type { Core, Place } from "@pinfold/core";
import type { Browser, BrowserContextOptions, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { askedAway, audit, launch, phone, pictures, watched } from "../../browser.ts";
import { builtCore, target } from "../../core/src/built.ts";
import { quayside } from "../../quayside.ts";
import type { Data, PlayedOutline } from "@pinfold/page/data.ts";
import { carryByKeys, cellAt, centre, dragByMouse, piece, says, solve, way } from "./hands.ts";
import { solution, type Steps } from "./solve.ts";

const file = resolve(target, "web/play.html");
const address = pathToFileURL(file).href;

let browser: Browser;
let core: Core;
let data: Data;
let tug: PlayedOutline;
let steps: Steps[];

beforeAll(async () => {
  const project = quayside();
  const pinfold = process.env["PINFOLD"] ?? resolve(target, "debug/pinfold");
  const said = execFileSync(pinfold, ["play", "tug", "crane", "--out", file, "--json", "--project", project]);
  expect(JSON.parse(String(said))).toMatchObject({ outlines: ["tug", "crane"] });
  const html = readFileSync(file, "utf8");
  data = JSON.parse(/id="pinfold-data">(.*?)<\/script>/s.exec(html)![1]!) as Data;
  core = await builtCore("core");
  core.open(data.set);
  tug = data.outlines[0]!;
  steps = solution(core, data.set, tug);
  mkdirSync(pictures, { recursive: true });
  browser = await launch();
});
afterAll(() => browser?.close());

async function opened(options: BrowserContextOptions = {}): Promise<{ page: Page; wrongs: string[] }> {
  const seen = await watched(browser, address, { viewport: { width: 1200, height: 800 }, reducedMotion: "reduce", ...options });
  await seen.page.goto(address);
  await seen.page.locator("[data-piece='0']").waitFor();
  return seen;
}

describe("an outline is filled", () => {
  test("by mouse, with the swings shown", async () => {
    const { page, wrongs } = await opened({ reducedMotion: "no-preference" });
    await solve(page, { data, outline: tug, steps }, "mouse");
    await page.screenshot({ path: resolve(pictures, "play-filled.png") });
    await page.getByRole("button", { name: "Next outline" }).click();
    expect(await page.getByRole("combobox").inputValue()).toBe("crane");
    expect(wrongs).toEqual([]);
    await page.context().close();
  });

  test("by touch on a phone", async () => {
    const { page, wrongs } = await opened(phone);
    await page.screenshot({ path: resolve(pictures, "play-phone.png") });
    await solve(page, { data, outline: tug, steps }, "touch");
    await page.screenshot({ path: resolve(pictures, "play-phone-filled.png") });
    // Nothing lies beside the page.
    expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0);
    expect(wrongs).toEqual([]);
    await page.context().close();
  });

  test("by keyboard alone", async () => {
    const { page, wrongs } = await opened();
    await solve(page, { data, outline: tug, steps }, "keys");
    expect(wrongs).toEqual([]);
    await page.context().close();
  });
});

test("what breaks a rule is refused and stays in the hand", async () => {
  const { page, wrongs } = await opened();
  const drops = async (number: number, cell: Place, what: RegExp) => {
    await dragByMouse(page, await centre(page, `[data-piece="${number}"] .block`), await cellAt(page, tug, cell));
    await expect.poll(() => says(page)).toMatch(what);
  };
  // Its other blocks come to lie right of the first: the outline ends there.
  await drops(0, [3, 5], /cleat does not fit: column \d, row \d is wall/);
  expect(await piece(page, 0).getAttribute("aria-label")).toContain("held over");
  await page.screenshot({ path: resolve(pictures, "play-refused.png") });
  await page.keyboard.press("Escape");
  // Two pieces on one cell.
  const [first, second] = steps as [Steps, Steps];
  await piece(page, first.piece).click();
  for (const { hinge, turn } of first.swings) {
    await page.getByRole("button", { name: `Hinge ${hinge + 1} ${way(turn)}`, exact: true }).click();
  }
  for (let i = 0; i < first.turns; i++) await page.getByRole("button", { name: /^Turn .*anticlockwise$/ }).click();
  const cell: Place = [first.at[0] + first.first[0], first.at[1] + first.first[1]];
  await drops(first.piece, cell, /lies in/);
  await drops(second.piece, cell, /does not fit/);
  const label = await piece(page, second.piece).getAttribute("aria-label");
  expect(label).toContain("held over");
  // A hinge that is as far as it goes, or blocked, says so.
  await page.keyboard.press("Escape");
  const held = steps[2]!.piece;
  await piece(page, held).click();
  const hinges = data.set.pieces[held]!.hinges.length;
  let refused = 0;
  for (let hinge = 1; hinge <= hinges; hinge++) {
    for (const turn of [1, 3]) {
      await page.getByRole("button", { name: `Hinge ${hinge} ${way(turn)}`, exact: true }).click();
      refused += Number(/as far as it goes|can't swing/.test(await says(page)));
    }
  }
  expect(refused).toBeGreaterThan(0);
  expect(wrongs).toEqual([]);
  await page.context().close();
});

test("the clock stands still while the page is hidden, and a try is kept over a reload", async () => {
  const { page, wrongs } = await watched(browser, address, {
    viewport: { width: 1200, height: 800 },
    reducedMotion: "reduce",
  });
  await page.clock.install({ time: new Date("2026-05-04T10:00:00Z") });
  await page.goto(address);
  await piece(page, 0).waitFor();
  // From here on time passes only as it is told to.
  await page.clock.pauseAt(new Date("2026-05-04T10:10:00Z"));
  const clock = () => page.getByRole("timer").innerText();
  const seen = (state: string) =>
    page.evaluate((value) => {
      Object.defineProperty(document, "visibilityState", { value, configurable: true });
      document.dispatchEvent(new Event("visibilitychange"));
    }, state);
  await page.clock.runFor(30_000);
  expect(await clock()).toBe("0:00");
  await piece(page, 1).click();
  await page.clock.runFor(61_700);
  expect(await clock()).toBe("1:01");
  await seen("hidden");
  await page.clock.runFor(600_000);
  await seen("visible");
  await page.clock.runFor(2_100);
  expect(await clock()).toBe("1:03");
  await page.getByRole("button", { name: "Pause" }).click();
  await page.clock.runFor(60_000);
  expect(await clock()).toBe("1:03");
  expect(await page.locator("[data-piece]").count()).toBe(0);
  await page.getByRole("button", { name: "Go on" }).click();
  const { piece: number, at } = steps[0]!;
  await piece(page, number).focus();
  await page.keyboard.press("Enter");
  await page.keyboard.press("1");
  await expect.poll(() => says(page)).toContain("Hinge 1");
  const folded = await piece(page, number).locator(".block").evaluateAll((all) => all.map((b) => b.getAttribute("transform")));
  await carryByKeys(page, number, at);
  const spot = await piece(page, number).getAttribute("aria-label");
  await page.reload();
  await piece(page, number).waitFor();
  expect(await clock()).toMatch(/^1:0[34]$/);
  const again = await piece(page, number).getAttribute("aria-label");
  if (spot!.includes("lies in")) expect(again).toBe(spot);
  else expect(again).toContain("in the tray");
  const after = await piece(page, number).locator(".block").evaluateAll((all) => all.map((b) => b.getAttribute("transform")));
  expect(after.map((t) => /rotate\((.*?)\)/.exec(t!)![1])).toEqual(folded.map((t) => /rotate\((.*?)\)/.exec(t!)![1]));
  expect(wrongs).toEqual([]);
  await page.context().close();
});

test("the log is saved as plays.csv, the unfinished try in it", async () => {
  const { page, wrongs } = await opened();
  await solve(page, { data, outline: tug, steps }, "keys");
  await page.getByRole("button", { name: "Next outline" }).click();
  await piece(page, 0).click();
  await page.keyboard.press("1");
  await expect.poll(() => page.getByRole("timer").innerText()).not.toBe("0:00");
  await page.getByRole("button", { name: "Plays" }).click();
  const save = page.getByRole("button", { name: "Save as plays.csv" });
  expect(await save.isDisabled()).toBe(true);
  await page.getByLabel("Your name").fill('Jo "the tide", tester');
  const [download] = await Promise.all([page.waitForEvent("download"), save.click()]);
  expect(download.suggestedFilename()).toBe("plays.csv");
  const rows = readFileSync(await download.path(), "utf8").trimEnd().split("\n");
  expect(rows[0]).toBe("tester,outline,minutes,finished,started");
  const row = (outline: string, finished: string) =>
    new RegExp(`^"Jo ""the tide"", tester",${outline},\\d+\\.\\d\\d,${finished},\\d{4}-\\d\\d-\\d\\dT\\d\\d:\\d\\d:\\d\\dZ$`);
  expect(rows[1]).toMatch(row("tug", "yes"));
  expect(rows[2]).toMatch(row("crane", "no"));
  expect(rows).toHaveLength(3);
  await page.screenshot({ path: resolve(pictures, "play-plays.png") });
  expect(wrongs).toEqual([]);
  await page.context().close();
});

describe.each(["light", "dark"] as const)("in %s", (colorScheme) => {
  test.each([["wide", {}], ["phone", phone]] as const)("%s, an audit finds nothing", async (size, options) => {
    const { page, wrongs } = await opened({ ...options, colorScheme });
    const states: Record<string, () => Promise<unknown>> = {
      first: async () => {},
      picked: () => page.keyboard.press("Tab").then(() => piece(page, 2).focus()).then(() => page.keyboard.press("Enter")),
      held: () => page.keyboard.press("ArrowUp"),
      words: () => page.getByText("The board in words").click(),
      rules: () => page.getByRole("button", { name: "Rules" }).click(),
      plays: async () => {
        await page.getByRole("button", { name: "Close" }).click();
        await page.getByRole("button", { name: "Plays" }).click();
      },
    };
    for (const [state, come] of Object.entries(states)) {
      await come();
      expect(await audit(page), `${state} in ${colorScheme}`).toEqual([]);
      if (state === "held") await page.screenshot({ path: resolve(pictures, `play-${size}-${colorScheme}.png`) });
    }
    expect(wrongs).toEqual([]);
    await page.context().close();
  });
});

test("targets are large enough for fingers", async () => {
  const { page } = await opened(phone);
  await piece(page, 4).tap();
  const sizes = await page.locator("button:visible, select:visible, circle.hit, [data-piece]").evaluateAll((all) =>
    all.map((e) => {
      const { width, height } = e.getBoundingClientRect();
      return { what: e.outerHTML.slice(0, 60), least: Math.min(width, height) };
    }),
  );
  expect(sizes.length).toBeGreaterThan(12);
  expect(sizes.filter((s) => s.least < 24)).toEqual([]);
  await page.context().close();
});

test("the page can't reach anything, and has no answer in it", async () => {
  const { page, wrongs } = await opened();
  expect(await askedAway(page)).toEqual(["refused", "connect-src"]);
  // The browser says so on its console: that is all that was heard.
  expect(wrongs.filter((w) => !w.includes("Content Security Policy") && !w.includes("example.org"))).toEqual([]);
  const html = readFileSync(file, "utf8");
  const code = core.judge(
    { cells: tug.cells, pockets: tug.pockets, spare: tug.spare },
    core.count({ cells: tug.cells, pockets: tug.pockets }, { answers: 1 }).answers[0]!.placed,
  ).code!;
  expect(code).toMatch(/^\w{22}$/);
  expect(html).not.toContain(code);
  await page.context().close();
});

test("a page of the workshop sends its plays there, and nowhere else", async () => {
  // As crates/play writes it for a server.
  const html = readFileSync(file, "utf8")
    .replace("connect-src 'none'", "connect-src 'self'")
    .replace('"send":null', '"send":"/play/k3v9/plays"');
  const taken: { url: string; body: string }[] = [];
  let status = 204;
  const server = createServer((request, response) => {
    if (request.method === "GET") return response.setHeader("content-type", "text/html; charset=utf-8").end(html);
    let body = "";
    request.on("data", (part) => (body += String(part)));
    request.on("end", () => {
      taken.push({ url: request.url!, body });
      response.writeHead(status).end();
    });
    return undefined;
  });
  await new Promise<void>((done) => server.listen(0, "127.0.0.1", done));
  const { port } = server.address() as AddressInfo;
  const home = `http://127.0.0.1:${port}/`;
  const { page, wrongs } = await watched(browser, home, { viewport: { width: 1200, height: 800 }, reducedMotion: "reduce" });
  await page.goto(home);
  await page.getByRole("button", { name: "Plays" }).click();
  await page.getByLabel("Your name").fill("Jo");
  await page.getByRole("button", { name: "Close" }).click();
  await solve(page, { data, outline: tug, steps }, "keys");
  // It goes by itself once there is a name.
  await expect.poll(() => taken.length).toBe(1);
  expect(taken[0]!.url).toBe("/play/k3v9/plays");
  expect(JSON.parse(taken[0]!.body)).toMatchObject({ plays: [{ tester: "Jo", outline: "tug", finished: true }] });
  status = 500;
  await page.getByRole("dialog").getByRole("button", { name: "Plays" }).click();
  await page.getByRole("button", { name: "Send to the workshop" }).click();
  await page.getByText("The workshop did not take the plays").first().waitFor();
  status = 204;
  await page.getByRole("button", { name: "Send to the workshop" }).click();
  await page.getByText("Sent to the workshop.").first().waitFor();
  // The browser tells of the refusal that was asked for.
  expect(wrongs.filter((w) => !w.includes("500"))).toEqual([]);
  await page.context().close();
  server.close();
});

test("it prints in black on white, without its buttons", async () => {
  const { page } = await opened({ colorScheme: "dark" });
  await piece(page, 0).click();
  await page.emulateMedia({ media: "print", colorScheme: "light" });
  expect(await page.locator("button:visible").count()).toBe(0);
  expect(await page.getByText("1. Tug", { exact: true }).locator("visible=true").count()).toBe(1);
  await page.screenshot({ path: resolve(pictures, "play-print.png") });
  await page.context().close();
});
