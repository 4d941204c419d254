// The door for testers, and the pages whose answers are the commands' own.
import { execFileSync } from "node:child_process";
import { createServer } from "node:http";
import { existsSync, readdirSync, writeFileSync } from "node:fs";
import type { Browser } from "playwright-core";
import { afterAll, afterEach, beforeAll, describe, expect, it } from "vitest";
import { Watched, Workshop, asked, launch } from "./harness";

let browser: Browser;
let shop: Workshop | undefined;
const open: Watched[] = [];

beforeAll(async () => {
  browser = await launch();
});
afterAll(async () => {
  await browser.close();
});
afterEach(async () => {
  try {
    for (const page of open.splice(0)) await page.close();
  } finally {
    await shop?.close();
  }
});

describe("the door for testers", () => {
  it("gives the play page to who has the link, and nothing to who has not", async () => {
    shop = await Workshop.open(["--share", "--share-port", "0"]);
    const link = new URL(shop.told.play ?? "");
    // The same door on this machine's own address.
    const door = `http://127.0.0.1:${link.port}`;
    const page = await fetch(`${door}${link.pathname}`);
    expect(page.status).toBe(200);
    const text = await page.text();
    expect(text).toContain("Quayside");
    expect(page.headers.get("x-content-type-options")).toBe("nosniff");
    for (const path of ["/", "/play", "/play/", `/play/${"0".repeat(32)}`, "/api/project", "/api/openapi.json", "/index.html", `${link.pathname}/..`]) {
      expect((await fetch(`${door}${path}`)).status, path).toBe(404);
    }
    const send = (body: unknown, path = `${link.pathname}/plays`) =>
      fetch(`${door}${path}`, { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify(body) });
    const tried = { tester: "guest-7", outline: "tug", minutes: 12.5, finished: true, started: "2026-03-14T19:30:00Z" };
    expect((await send({ plays: [tried] })).status).toBe(204);
    expect((await send({ plays: [{ ...tried, outline: "../x" }] })).status).toBe(422);
    expect((await send({ plays: [tried] }, `/play/${"0".repeat(32)}/plays`)).status).toBe(404);
    // What was accepted is on the disk: in plays.csv, or waiting for the maker's eye, as a
    // try after a finish does.
    const waits = () => (existsSync(shop!.file("received")) ? readdirSync(shop!.file("received")).length : 0);
    expect([shop.text("plays.csv").includes("guest-7,tug,12.5,yes"), waits()]).toEqual([true, 0]);
    expect(shop.text("plays.csv")).toContain("t3,tug,");
    expect((await send({ plays: [{ ...tried, tester: "t3" }] })).status).toBe(204);
    expect(waits()).toBe(1);
    // The maker's own pages have no door there, and the door none to them.
    expect((await fetch(`${shop.address}play/${link.pathname.split("/")[2]}`)).status).toBe(404);
  });

  it("has no door unless it is asked to", async () => {
    shop = await Workshop.open();
    expect(shop.told.play).toBeNull();
  });
});

describe("another site", () => {
  it("reads nothing and writes nothing through the maker's browser", async () => {
    shop = await Workshop.open();
    const address = shop.address;
    const before = shop.text("outlines/tug.toml");
    const site = createServer((_, answer) => answer.setHeader("content-type", "text/html").end("<!doctype html><title>elsewhere</title>"));
    await new Promise<void>((resolve) => site.listen(0, "127.0.0.1", () => resolve()));
    const at = site.address() as { port: number };
    const context = await browser.newContext();
    const page = await context.newPage();
    await page.goto(`http://127.0.0.1:${at.port}/`);
    const seen = await page.evaluate(async (address) => {
      const tried: string[] = [];
      for (const [method, mode] of [["GET", "cors"], ["GET", "no-cors"], ["POST", "no-cors"], ["PUT", "cors"]] as const) {
        try {
          const init: RequestInit = { method, mode };
          if (method !== "GET") init.body = "{}";
          const answer = await fetch(`${address}api/outlines/tug`, init);
          tried.push(answer.type === "opaque" ? "opaque" : await answer.text());
        } catch {
          tried.push("nothing");
        }
      }
      const frame = document.createElement("iframe");
      frame.src = address;
      // What is refused is loaded, too: as a page of the browser's own.
      const loaded = new Promise((resolve) => frame.addEventListener("load", resolve));
      document.body.append(frame);
      await loaded;
      let framed = "nothing";
      try {
        framed = frame.contentDocument?.body.textContent ?? "nothing";
      } catch {
        framed = "nothing";
      }
      return { tried, framed };
    }, address);
    expect(seen.tried.every((t) => t === "nothing" || t === "opaque")).toBe(true);
    expect(seen.framed).toBe("nothing");
    expect(shop.text("outlines/tug.toml")).toBe(before);
    await context.close();
    site.close();
  });
});

describe("Scouting", () => {
  it("finds near an outline, sorts, compares and keeps", async () => {
    shop = await Workshop.open();
    const w = await Watched.open(browser, shop, "/#/scouting");
    open.push(w);
    await w.page.getByRole("combobox", { name: "Outline" }).selectOption("tug");
    await w.page.getByLabel("Seconds").fill("60");
    await w.page.getByRole("button", { name: "Scout" }).click();
    const finds = w.page.getByRole("region", { name: "Finds" });
    await finds.getByRole("listitem").first().waitFor({ timeout: 110_000 });
    await w.page.getByRole("button", { name: "Scout" }).waitFor({ timeout: 110_000 });
    await finds.getByLabel("Order").selectOption("pockets");
    await finds.getByRole("button", { name: /^Compare/ }).nth(0).click();
    await finds.getByRole("button", { name: /^Compare/ }).nth(1).click();
    await w.page.getByRole("region", { name: "Compared" }).waitFor();
    await finds.getByRole("button", { name: /^Keep/ }).first().click();
    await w.page.getByText("Kept as outlines/find-1.toml.").waitFor();
    // What was kept has the one layout that was promised.
    const proof = JSON.parse(execFileSync(asked, ["fill", "find-1", "--json", "--project", shop.folder], { encoding: "utf8" })) as Record<string, unknown>;
    expect([proof["different"], proof["drop_in_layouts"], proof["complete"]]).toEqual([1, 1, true]);
    await w.audit();
    await w.picture("scouting");
  });

  it("shows finds as they are proven, and keeps them when it is ended", async () => {
    shop = await Workshop.open();
    const w = await Watched.open(browser, shop, "/#/scouting");
    open.push(w);
    await w.page.getByLabel("from nothing").check();
    await w.page.getByLabel("Columns").fill("7");
    await w.page.getByLabel("Rows").fill("6");
    await w.page.getByLabel("Seconds").fill("600");
    await w.page.getByRole("button", { name: "Scout" }).click();
    const finds = w.page.getByRole("region", { name: "Finds" });
    await finds.getByRole("listitem").nth(2).waitFor({ timeout: 110_000 });
    // It is still at work.
    await w.page.getByRole("button", { name: "End it" }).click();
    await w.page.getByRole("button", { name: "Scout" }).waitFor({ timeout: 20_000 });
    await finds.getByText(/finds of \d+ outlines looked at/).waitFor();
    expect(await finds.getByRole("listitem").count()).toBeGreaterThan(2);
    await finds.getByText(/drawn without replacement/).waitFor();
  });

  it("takes a picture that is dropped", async () => {
    shop = await Workshop.open();
    const w = await Watched.open(browser, shop, "/#/scouting");
    open.push(w);
    await w.page.getByLabel("from a picture").check();
    await w.page.getByLabel("Seconds").fill("60");
    const svg = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 60 60"><path d="M10 10h40v20h-10v20h-20v-20h-10z"/></svg>';
    const handle = await w.page.evaluateHandle((svg) => {
      const data = new DataTransfer();
      data.items.add(new File([svg], "mooring.svg", { type: "image/svg+xml" }));
      return data;
    }, svg);
    await w.page.dispatchEvent(".drop", "drop", { dataTransfer: handle });
    await w.page.getByRole("region", { name: "Finds" }).getByRole("listitem").first().waitFor({ timeout: 110_000 });
    await w.page.getByAltText("Wished for: mooring.svg").waitFor();
  });
});

describe("Packs", () => {
  const pack = '\n[[pack]]\nname = "trial"\noutlines = [\n  "tug", # first\n  "crab",\n  "crane",\n]\n';
  async function visit() {
    shop = await Workshop.open();
    writeFileSync(shop.file("pinfold.toml"), `${shop.text("pinfold.toml")}${pack}`);
    const w = await Watched.open(browser, shop, "/#/packs");
    open.push(w);
    await w.page.getByRole("button", { name: /^trial/ }).click();
    const order = () => w.page.locator(".ladder .name").allTextContents();
    await expect.poll(order).toEqual(["Tug", "Crab", "Quay crane"]);
    return { shop, w, order };
  }

  it("are put in order by dragging and by keys, and written over what was seen only", async () => {
    const { shop, w, order } = await visit();
    await w.page.getByRole("button", { name: "Tug, number 1 of 3" }).focus();
    await w.page.keyboard.press("Alt+ArrowDown");
    await expect.poll(order).toEqual(["Crab", "Tug", "Quay crane"]);
    await w.page.waitForFunction(() => document.activeElement?.getAttribute("aria-label") === "Tug, number 2 of 3");
    await w.page.locator(".ladder li").nth(2).dragTo(w.page.locator(".ladder li").nth(0));
    await expect.poll(order).toEqual(["Quay crane", "Crab", "Tug"]);
    await w.page.getByRole("button", { name: "Undo" }).click();
    await w.page.getByRole("button", { name: "Undo" }).click();
    await expect.poll(order).toEqual(["Tug", "Crab", "Quay crane"]);
    await w.page.getByRole("button", { name: "Redo" }).click();
    await w.audit();
    const before = shop.text("pinfold.toml");
    await w.page.getByRole("button", { name: "Write the order" }).click();
    await w.page.getByText("The order is in pinfold.toml.").waitFor();
    // A remark goes with its outline, and nothing else moves.
    expect(shop.text("pinfold.toml")).toBe(before.replace('"tug", # first\n  "crab",', '"crab",\n  "tug", # first'));
  });

  it("are graded, proposed and foretold", async () => {
    const { shop, w, order } = await visit();
    await w.page.getByRole("button", { name: "Grade them" }).click();
    await w.page.getByText(/effort \d/).nth(2).waitFor({ timeout: 110_000 });
    await w.page.getByText("Why").first().click();
    await w.page.getByRole("button", { name: "Propose an order" }).click();
    const proposed = w.page.getByRole("region", { name: "Proposed order" });
    await proposed.waitFor({ timeout: 110_000 });
    const names = await proposed.locator("ol li").allTextContents();
    expect([...names].sort()).toEqual(["Crab", "Quay crane", "Tug"]);
    await proposed.getByRole("button", { name: "Take this order" }).click();
    await expect.poll(order).toEqual(names);
    await w.page.getByLabel("Entrants").fill("40");
    await w.page.getByRole("button", { name: "Foretell it" }).click();
    await w.page.getByText("The first finishes after").waitFor({ timeout: 110_000 });
    await w.page.getByText(/^\d+ of 40 \(\d+ to \d+\)$/).waitFor();
    await w.audit();
    await w.picture("packs");
    expect(shop.text("pinfold.toml")).toContain(pack);
  }, 240_000);
});

describe("Testers", () => {
  it("see what was foretold and what was seen", async () => {
    shop = await Workshop.open();
    writeFileSync(shop.file("plays.csv"), "tester,outline,minutes,finished\nt1,tug,12,yes\nt1,crab,45,yes\nt2,tug,20,yes\nt2,crab,60,no\nt3,tug,9,yes\n");
    const w = await Watched.open(browser, shop, "/#/testers");
    open.push(w);
    await w.page.getByText("5 tries by 3 testers.").waitFor({ timeout: 110_000 });
    await w.page.getByRole("region", { name: "Foretold and seen" }).waitFor();
    await w.audit();
    await w.picture("testers");
  });
});
