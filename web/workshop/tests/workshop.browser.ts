// The workshop as a maker uses it: every page's main act, by pointer, by keys
// alone, by touch on a phone; two pages at once; files changed outside.
import { existsSync, readdirSync, writeFileSync } from "node:fs";
import type { Browser } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { Watched, Workshop, launch } from "./harness";

let browser: Browser;
let shop: Workshop;
let open: Watched[] = [];

beforeAll(async () => {
  browser = await launch();
});
afterAll(async () => {
  await browser.close();
});
beforeEach(async () => {
  shop = await Workshop.open();
});
afterEach(async () => {
  const all = open;
  open = [];
  try {
    // Closing judges each page: nothing on its console, nothing from elsewhere.
    for (const page of all) await page.close();
  } finally {
    await shop.close();
  }
});

async function visit(path: string, options: Parameters<typeof Watched.open>[3] = {}): Promise<Watched> {
  const watched = await Watched.open(browser, shop, path, options);
  open.push(watched);
  return watched;
}

/** The middle of a cell of the board, or a vertex of it, on the screen. */
async function spot(watched: Watched, x: number, y: number, vertex = false): Promise<{ x: number; y: number }> {
  return watched.page.evaluate(
    ([x, y, off]) => {
      const svg = document.querySelector<SVGSVGElement>(".board svg");
      svg?.scrollIntoView({ block: "center" });
      const at = new DOMPoint(x! + off!, -(y! + off!)).matrixTransform(svg?.getScreenCTM() ?? undefined);
      return { x: at.x, y: at.y };
    },
    [x, y, vertex ? 0 : 0.5],
  );
}
const drawn = (watched: Watched) => watched.page.locator(".board rect.cell").count();
const verdict = (watched: Watched, text: string) => watched.page.getByRole("region", { name: "While you draw" }).getByText(text);

describe("Outline", () => {
  it("draws with the pointer, answers, goes back and forth, and saves with comments kept", async () => {
    writeFileSync(shop.file("outlines/tug.toml"), `# the harbour's own\n${shop.text("outlines/tug.toml")}`);
    const w = await visit("/#/outline/tug");
    await verdict(w, "one layout, and no other").waitFor();
    await w.audit();
    await w.picture("outline");

    // The chimney's cell goes, and comes back at the bow; a pocket is taken.
    const chimney = await spot(w, 6, 8);
    await w.page.mouse.click(chimney.x, chimney.y);
    await verdict(w, "1 cell to draw: the set has 22 blocks.").waitFor();
    expect(await drawn(w)).toBe(21);
    const bow = await spot(w, 10, 4);
    await w.page.mouse.click(bow.x, bow.y);
    await verdict(w, "1 cell added, 1 left out.").waitFor();
    await w.page.getByRole("button", { name: "Undo" }).click();
    await w.page.getByRole("button", { name: "Undo" }).click();
    await verdict(w, "As wished.").waitFor();
    expect(await w.page.getByRole("button", { name: "Undo" }).isDisabled()).toBe(true);
    await w.page.getByRole("button", { name: "Redo" }).click();
    expect(await drawn(w)).toBe(21);
    await w.page.getByRole("button", { name: "Undo" }).click();

    // A title of its own is written, and nothing else is touched.
    const before = shop.text("outlines/tug.toml");
    await w.page.getByLabel("Title").fill("Harbour tug");
    await w.page.getByLabel("Title").blur();
    await w.page.getByRole("button", { name: "Save" }).click();
    await w.page.getByText("Saved in outlines/tug.toml.").waitFor();
    expect(shop.text("outlines/tug.toml")).toBe(before.replace('title = "Tug"', 'title = "Harbour tug"'));
  });

  it("answers by its own core while the server is silent", async () => {
    const w = await visit("/#/scouting");
    expect(await w.page.evaluate(() => self.crossOriginIsolated)).toBe(true);
    await w.page.route("**/api/live", (route) => route.fulfill({ json: { superseded: true } }));
    await w.page.locator('nav a[href="#/outline"]').click();
    await w.page.locator(".shelf button", { hasText: "Tug" }).click();
    // The first question may have come before the core was ready: a stroke and back asks again.
    await w.page.waitForFunction(() => performance.getEntriesByName("core ready").length > 0);
    const chimney = await spot(w, 6, 8);
    await w.page.mouse.click(chimney.x, chimney.y);
    await verdict(w, "1 cell to draw: the set has 22 blocks.").waitFor();
    await w.page.keyboard.press("Control+z");
    await verdict(w, "one layout, and no other").waitFor();
    await w.page.getByRole("button", { name: "Use the fewest pockets" }).waitFor();
    await verdict(w, "As wished.").waitFor();
    expect(await w.page.evaluate(() => performance.getEntriesByName("live answer").length)).toBeGreaterThan(1);
    // A pocket stands at a wall only: the core says where.
    await w.page.getByRole("button", { name: "Pockets", exact: true }).click();
    const before = await w.page.locator(".board .pocket").count();
    const away = await spot(w, 1, 1, true);
    await w.page.mouse.click(away.x, away.y);
    expect(await w.page.locator(".board .pocket").count()).toBe(before);
  });

  it("steps through every layout with hinges, levels and drop-in order", async () => {
    const w = await visit("/#/outline/tug");
    await verdict(w, "one layout, and no other").waitFor();
    await w.page.getByRole("button", { name: "Use the most pockets" }).waitFor({ timeout: 30_000 });
    await w.page.getByRole("button", { name: "Pockets", exact: true }).click();
    // Every pocket that there can be: all round.
    await w.page.getByRole("button", { name: "Use the most pockets" }).click();
    await w.page.getByRole("button", { name: "Cells", exact: true }).click();
    await verdict(w, "one layout, and no other").waitFor();
    await w.page.getByRole("button", { name: "Pockets", exact: true }).click();
    const blind = await w.page.locator(".pocket.blind").count();
    expect(blind).toBeGreaterThan(5);
    // One more pocket lets others in.
    for (let x = 3; x <= 10; x++) {
      const at = await spot(w, x, 6, true);
      await w.page.mouse.move(at.x, at.y);
    }
    await w.page.keyboard.press("c");
    await w.page.getByRole("button", { name: "Find every layout" }).click();
    const layouts = w.page.getByRole("region", { name: "Layouts" });
    await layouts.getByText("1 different layout, all found.").waitFor();
    await layouts.getByText(/swings?: hinge/).first().waitFor();
    expect(await layouts.getByRole("listitem").count()).toBe(5);
    await layouts.getByLabel(/Laid in/).fill("2");
    expect(await w.page.locator(".board .lifted").count()).toBe(3);
    const all = await w.page.locator(".board .pin").count();
    await layouts.getByLabel(/Laid in/).fill("5");
    const pins = await w.page.locator(".board .pin").count();
    expect(pins).toBe(17);
    expect(all).toBeLessThan(pins);
    await layouts.getByRole("combobox", { name: "Level" }).selectOption("1");
    expect(await w.page.locator(".board .pin").count()).toBe(await w.page.locator('.board .pin[data-level="1"]').count());
    await layouts.getByLabel("Hinges").uncheck();
    expect(await w.page.locator(".board .pin").count()).toBe(0);
  });

  it("is worked by keys alone, from a new outline to a saved one", async () => {
    const w = await visit("/#/outline/tug");
    await verdict(w, "one layout, and no other").waitFor();
    const { keyboard } = w.page;
    const focus = async (name: RegExp | string, role: "button" | "application" = "button") => {
      for (let n = 0; n < 90; n++) {
        await keyboard.press("Tab");
        const here = await w.page.evaluate(() => document.activeElement?.getAttribute("aria-label") ?? document.activeElement?.textContent?.trim() ?? "");
        const is = await w.page.evaluate(() => document.activeElement?.getAttribute("role") ?? document.activeElement?.tagName.toLowerCase() ?? "");
        if ((typeof name === "string" ? here === name : name.test(here)) && (role === "application" ? is === "application" : is === "button")) return;
      }
      throw new Error(`no way by Tab to ${String(name)}`);
    };
    await focus("New outline");
    await keyboard.press("Enter");
    await keyboard.type("pier");
    await keyboard.press("Tab");
    await keyboard.type("Pier");
    await keyboard.press("Enter");
    await w.page.getByRole("dialog").waitFor({ state: "hidden" });
    await focus(/^Board of/, "application");
    // Two rows of eleven cells: 22 for 22 blocks.
    await keyboard.press("ArrowLeft");
    await keyboard.press("ArrowLeft");
    for (const way of ["ArrowRight", "ArrowLeft"]) {
      await keyboard.press("Space");
      for (let n = 0; n < 10; n++) await keyboard.press(`Shift+${way}`);
      await keyboard.press("ArrowUp");
    }
    expect(await drawn(w)).toBe(22);
    await verdict(w, "22 for 22 blocks").waitFor();
    // A pocket on the wall, undone and done again.
    await keyboard.press("p");
    for (let n = 0; n < 2; n++) await keyboard.press("ArrowDown");
    await keyboard.press("ArrowRight");
    await keyboard.press("Space");
    const pockets = () => w.page.locator(".board .pocket").count();
    expect(await pockets()).toBe(1);
    await keyboard.press("Control+z");
    expect(await pockets()).toBe(0);
    await keyboard.press("Control+y");
    expect(await pockets()).toBe(1);
    await keyboard.press("Control+s");
    await w.page.getByText("Saved in outlines/pier.toml.").waitFor();
    expect(shop.text("outlines/pier.toml")).toContain("# # # # # # # # # # #");
  });

  it("brushes with symmetry", async () => {
    const w = await visit("/#/outline/tug");
    await verdict(w, "one layout, and no other").waitFor();
    await w.page.getByRole("button", { name: "New outline" }).click();
    await w.page.getByLabel("File name").fill("star");
    await w.page.getByRole("button", { name: "Begin" }).click();
    for (const [symmetry, cells] of [["quarter", 4], ["both", 4], ["half", 2], ["sides", 2], ["none", 1]] as const) {
      await w.page.getByLabel("Symmetry").selectOption(symmetry);
      const before = await drawn(w);
      const at = await spot(w, cells === 4 ? (symmetry === "quarter" ? 3 : 1) : symmetry === "half" ? 4 : symmetry === "sides" ? 2 : 11, cells === 4 ? 2 : symmetry === "half" ? 1 : 9);
      await w.page.mouse.click(at.x, at.y);
      expect(await drawn(w), symmetry).toBe(before + cells);
    }
  });

  it("merges or asks when the file is changed outside, and never writes over it", async () => {
    const w = await visit("/#/outline/tug");
    await verdict(w, "one layout, and no other").waitFor();
    // Nothing drawn here: the page shows what is in the file now.
    writeFileSync(shop.file("outlines/tug.toml"), shop.text("outlines/tug.toml").replace('"Tug"', '"Steam tug"'));
    await w.page.getByText("The file was changed outside; this is how it is now.").waitFor();
    expect(await w.page.getByLabel("Title").inputValue()).toBe("Steam tug");
    // Something drawn on both sides: the page asks, and puts both together.
    const at = await spot(w, 6, 8);
    await w.page.mouse.click(at.x, at.y);
    writeFileSync(shop.file("outlines/tug.toml"), shop.text("outlines/tug.toml").replace('"Steam tug"', '"Old tug"'));
    await w.page.getByRole("dialog", { name: "The file was changed outside" }).waitFor();
    await w.audit();
    await w.page.getByRole("button", { name: "Put both together" }).click();
    expect(await w.page.getByLabel("Title").inputValue()).toBe("Old tug");
    expect(await drawn(w)).toBe(21);
    // A file with a mistake is told with its place, and nothing is written.
    writeFileSync(shop.file("outlines/crab.toml"), shop.text("outlines/crab.toml").replace("#", "x"));
    await w.page.getByText(/outlines\/crab.toml, line \d+, column \d+/).waitFor();
    w.refused(422);
  });

  it("keeps two pages of one outline apart", async () => {
    const one = await visit("/#/outline/tug");
    const two = await visit("/#/outline/tug");
    for (const w of [one, two]) await verdict(w, "one layout, and no other").waitFor();
    const at = await spot(two, 6, 8);
    await two.page.mouse.click(at.x, at.y);
    await one.page.getByLabel("Title").fill("First tug");
    await one.page.getByLabel("Title").blur();
    await one.page.getByRole("button", { name: "Save" }).click();
    await one.page.getByText("Saved in outlines/tug.toml.").waitFor();
    await two.page.getByRole("dialog", { name: "The file was changed outside" }).waitFor();
    await two.page.getByRole("button", { name: "Take the file's" }).click();
    expect(await two.page.getByLabel("Title").inputValue()).toBe("First tug");
    expect(await drawn(two)).toBe(22);
    await two.page.getByRole("button", { name: "Undo" }).click();
    expect(await drawn(two)).toBe(21);
  });
});

describe("Pieces", () => {
  it("shows every fold, swings to one, draws a hinge elsewhere and writes it", async () => {
    const w = await visit("/#/pieces/cleat");
    const folds = w.page.getByRole("region", { name: "Folds" });
    await folds.getByText("54 folds of 49 shapes; all reached by swings, the farthest in 5.").waitFor();
    expect(await folds.getByRole("button").count()).toBe(15);
    await folds.getByLabel("turned ones once").uncheck();
    expect(await folds.getByRole("button").count()).toBe(54);
    await folds.getByRole("combobox", { name: "Swings" }).selectOption("5");
    const far = await folds.getByRole("button").count();
    expect(far).toBeGreaterThan(0);
    await folds.getByRole("button").first().click();
    await w.page.getByText("swing 5 of 5").waitFor();
    await w.page.locator(".solid canvas").waitFor();
    await w.audit();
    await w.picture("pieces");
    // The hinge between blocks 0 and 1 goes from the upper to the lower corner.
    await w.page.getByRole("button", { name: "Hinges", exact: true }).click();
    const upper = await spot(w, 1, 1, true);
    await w.page.mouse.click(upper.x, upper.y);
    await w.page.mouse.click(upper.x, upper.y);
    await w.page.getByText("block 1 is not tied to block 0 by any chain of hinges").waitFor();
    const lower = await spot(w, 1, 0, true);
    await w.page.mouse.click(lower.x, lower.y);
    await folds.getByText(/folds of/).waitFor();
    const before = shop.text("pinfold.toml");
    await w.page.getByRole("button", { name: "Save the set" }).click();
    await w.page.getByText("Saved in pinfold.toml.").waitFor();
    const after = shop.text("pinfold.toml");
    expect(after).toContain("{ pin = [1, 0], joins = [0, 1], level = 0 }");
    expect(after.split("\n").filter((l) => l.includes("#") && !l.includes('"#'))).toEqual(before.split("\n").filter((l) => l.includes("#") && !l.includes('"#')));
  });

  it("refuses a set that no longer fills the outlines, by keys", async () => {
    const w = await visit("/#/pieces/cleat");
    await w.page.getByText("54 folds of 49 shapes").waitFor();
    await w.page.locator(".board.piece").focus();
    for (let n = 0; n < 3; n++) await w.page.keyboard.press("ArrowRight");
    await w.page.keyboard.press("Space");
    await w.page.getByText("block 4 is not tied to block 0 by any chain of hinges").waitFor();
    await w.page.keyboard.press("h");
    await w.page.keyboard.press("Space");
    await w.page.getByText(/folds of/).waitFor();
    await w.page.keyboard.press("Control+s");
    await w.page.getByText(/the outline has 22 cells, but the set has 23 blocks/).first().waitFor();
    for (let n = 0; n < 2; n++) await w.page.keyboard.press("Control+z");
    await w.page.getByText("54 folds of 49 shapes").waitFor();
    w.refused(422);
  });
});

describe("Parts", () => {
  it("turns a solid, cuts it, moves a hinge, makes parts and hands out their files", async () => {
    const w = await visit("/#/parts");
    const solid = w.page.getByRole("region", { name: "Solid" });
    await solid.getByText("hinge 2").waitFor();
    const canvas = w.page.locator(".solid canvas");
    const shot = async () => (await canvas.screenshot()).toString("base64");
    /** The picture once it is another than `before` and stands still. */
    const settled = async (before: string) => {
      let last = before;
      await expect.poll(async () => {
        const [older, now] = [last, await shot()];
        last = now;
        return now !== before && now === older;
      }, { timeout: 30_000, interval: 60 }).toBe(true);
      return last;
    };
    const first = await settled("");
    await solid.getByLabel("hinge 0, degrees").fill("120");
    const moved = await settled(first);
    await solid.getByLabel("Cut").selectOption("z");
    const cut = await settled(moved);
    await w.page.locator(".solid .turn").focus();
    await w.page.keyboard.press("ArrowLeft");
    await settled(cut);
    await w.page.getByLabel("Make cleat").check();
    await w.page.getByLabel("Make tug").check();
    await w.page.getByLabel("Put them into out").check();
    await w.page.getByRole("button", { name: "Make 2 parts" }).click();
    await w.page.getByRole("heading", { name: "All passed" }).waitFor({ timeout: 60_000 });
    await w.page.getByText("Bed 1:").waitFor();
    await w.page.getByRole("region", { name: "Cautions" }).waitFor();
    await w.page.locator("summary", { hasText: "cleat" }).click();
    await w.audit();
    await w.picture("parts");
    const coming = w.page.waitForEvent("download");
    await w.page.getByRole("link", { name: /^3MF \d/ }).first().click();
    const download = await coming;
    expect(download.suggestedFilename()).toBe("cleat.3mf");
    expect(existsSync(shop.file("out/pieces/cleat.3mf"))).toBe(true);
    expect(readdirSync(shop.file("out")).some((name) => name.startsWith(".pinfold"))).toBe(false);
  });
});

describe("For everyone", () => {
  it("fits a phone and is worked by touch", async () => {
    const w = await visit("/#/outline/tug", { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true, colorScheme: "dark", reducedMotion: "reduce" });
    await verdict(w, "one layout, and no other").waitFor();
    for (const page of ["outline", "pieces", "scouting", "packs", "parts", "testers"]) {
      await w.page.locator(`nav a[href="#/${page}"]`).tap();
      await w.page.locator(`nav a[href="#/${page}"][aria-current="page"]`).waitFor();
      await w.page.locator("main .sheet:visible").first().waitFor();
      if (page === "testers") await w.page.getByText(/tries by \d+ testers/).waitFor({ timeout: 60_000 });
      await w.page.waitForFunction(() => document.documentElement.scrollWidth <= 390);
      await w.audit();
      await w.picture(`phone-${page}`);
    }
    await w.page.locator('nav a[href="#/outline"]').tap();
    await verdict(w, "one layout, and no other").waitFor();
    const at = await spot(w, 6, 8);
    await w.page.touchscreen.tap(at.x, at.y);
    await verdict(w, "1 cell to draw: the set has 22 blocks.").waitFor();
    await w.picture("phone");
    // What is drawn and not yet saved is still there after a look at another page.
    await w.page.locator('nav a[href="#/packs"]').tap();
    await w.page.locator('nav a[href="#/outline"]').tap();
    expect(await drawn(w)).toBe(21);
  });

  it("moves nothing where motion is unwelcome, and prints the sheet", async () => {
    const w = await visit("/#/pieces/cleat", { reducedMotion: "reduce" });
    const folds = w.page.getByRole("region", { name: "Folds" });
    await folds.getByRole("button").nth(14).click();
    await w.page.getByRole("region", { name: "Swings" }).getByText("home", { exact: true }).waitFor();
    await w.page.getByRole("button", { name: "Next" }).click();
    await w.page.getByText("swing 1 of 5").waitFor();
    await w.page.emulateMedia({ media: "print" });
    expect(await w.page.getByRole("navigation").isVisible()).toBe(false);
    await w.picture("print");
  });
});
