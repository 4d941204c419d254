// The start page: a project begun by keys alone, opened at the same address; what is
// wrong is said on the page; an audit in light and dark, and on a phone's width.
import { type ChildProcess, spawn } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, expect, it } from "vitest";
import { audit, launch, phone, pictures, watched } from "../../browser.ts";
import { pinfold } from "./harness";

let browser: Browser;
let folder: string;
let program: ChildProcess;
let address: string;

beforeAll(async () => {
  mkdirSync(pictures, { recursive: true });
  browser = await launch();
});
afterAll(() => browser?.close());

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), "pinfold-start-"));
  program = spawn(pinfold, ["workshop", "--start", folder, "--port", "0", "--no-open", "--json"]);
  address = await new Promise<string>((resolve, reject) => {
    let said = "";
    program.stdout!.on("data", (bytes: Buffer) => {
      said += bytes.toString();
      if (said.trimEnd().endsWith("}")) resolve((JSON.parse(said) as { workshop: string }).workshop);
    });
    program.on("exit", (code) => reject(new Error(`the start page ended with ${code}: ${said}`)));
  });
});
afterEach(() => {
  program.kill("SIGKILL");
  rmSync(folder, { recursive: true, force: true });
});

it("begins a project by keys alone, and is then its workshop", async () => {
  const { page, wrongs } = await watched(browser, address);
  await page.goto(address);
  await page.keyboard.press("Tab");
  await page.keyboard.type("spring tide");
  await page.keyboard.press("Enter");
  await page.getByRole("link", { name: "Pieces" }).waitFor({ timeout: 60_000 });
  expect(page.url().startsWith(address)).toBe(true);
  expect(existsSync(join(folder, "spring tide/pinfold.toml"))).toBe(true);
  expect(wrongs).toEqual([]);
  await page.context().close();
});

it("says what is wrong with a name and makes nothing", async () => {
  const { page } = await watched(browser, address);
  await page.goto(address);
  await page.getByLabel("Its name").fill("../away");
  await page.getByRole("button", { name: "Begin" }).click();
  await page.getByRole("alert").getByText("nothing else").waitFor();
  expect(existsSync(join(folder, "../away"))).toBe(false);
  await page.context().close();
});

it("can be read by everybody", async () => {
  for (const options of [{ colorScheme: "light" }, { colorScheme: "dark" }, phone] as const) {
    const { page, wrongs } = await watched(browser, address, options);
    await page.goto(address);
    expect(await audit(page)).toEqual([]);
    expect(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth)).toBe(true);
    await page.screenshot({ path: join(pictures, `start-${"colorScheme" in options ? options.colorScheme : "phone"}.png`) });
    expect(wrongs).toEqual([]);
    await page.context().close();
  }
});
