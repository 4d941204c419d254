// The hands of a tester, for tests: taps, drags and keys that carry out steps.

import type { Place } from "@pinfold/core";
import type { Page } from "playwright-core";
import { expect } from "vitest";
import type { Data, PlayedOutline } from "@pinfold/page/data.ts";
import type { Steps } from "./solve.ts";

export interface Puzzle {
  data: Data;
  outline: PlayedOutline;
  steps: Steps[];
}

export const piece = (page: Page, number: number) => page.locator(`[data-piece="${number}"]`);
export const says = (page: Page) => page.locator("p.says").innerText();

export async function centre(page: Page, selector: string, nth = 0): Promise<{ x: number; y: number }> {
  const box = (await page.locator(selector).nth(nth).boundingBox())!;
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

/** The middle of a cell of the outline on the page. */
export function cellAt(page: Page, outline: PlayedOutline, [x, y]: Place): Promise<{ x: number; y: number }> {
  const nth = outline.cells.findIndex((c) => c[0] === x && c[1] === y);
  return centre(page, "rect.cell", nth);
}

/** Whether another hinge of the piece stands on the same corner. */
async function stacked(page: Page, hinge: number): Promise<boolean> {
  const circles = page.locator("circle.hit");
  const places = await circles.evaluateAll((all) => all.map((c) => `${c.getAttribute("cx")},${c.getAttribute("cy")}`));
  return places.filter((p) => p === places[hinge]).length > 1;
}

export const way = (turn: number) => (turn === 1 ? "anticlockwise" : "clockwise");

export async function solve(page: Page, { data, outline, steps }: Puzzle, hand: "mouse" | "touch" | "keys"): Promise<void> {
  for (const { piece: number, swings, turns, at, first } of steps) {
    const ways = new Map<number, number>();
    const one = piece(page, number);
    if (hand === "mouse") await one.click();
    else if (hand === "touch") await one.tap();
    else await tabTo(page, number);
    for (const { hinge, turn } of swings) {
      const usual = (ways.get(hinge) ?? 1) === turn;
      ways.set(hinge, turn);
      const button = page.getByRole("button", { name: `Hinge ${hinge + 1} ${way(turn)}`, exact: true });
      if (hand === "keys") await page.keyboard.press(`${usual ? "" : "Shift+"}Digit${hinge + 1}`);
      else if (await stacked(page, hinge)) await (hand === "mouse" ? button.click() : button.tap());
      else if (hand === "mouse") await page.locator(`[data-hinge="${hinge}"]`).click({ modifiers: usual ? [] : ["Shift"] });
      else if (usual) await page.locator(`[data-hinge="${hinge}"]`).tap();
      else await button.tap();
      await expect.poll(() => says(page)).toContain(`Hinge ${hinge + 1} of ${data.art[number]!.name} swung ${way(turn)}`);
    }
    for (let i = 0; i < turns; i++) {
      const button = page.getByRole("button", { name: /^Turn .*anticlockwise$/ });
      if (hand === "keys") await page.keyboard.press("Shift+R");
      else if (hand === "mouse") await button.click();
      else await button.tap();
    }
    if (hand === "keys") await carryByKeys(page, number, at);
    else {
      // As a person would, wait until the swing is over.
      if (hand === "mouse") await still(page, `[data-piece="${number}"] .block`);
      const from = await centre(page, `[data-piece="${number}"] .block`);
      const to = await cellAt(page, outline, [at[0] + first[0], at[1] + first[1]]);
      await (hand === "mouse" ? dragByMouse(page, from, to) : dragByTouch(page, from, to));
    }
    // The last one opens the dialog, but lies just the same.
    await expect.poll(() => one.getAttribute("aria-label")).toContain("lies in");
  }
  await expect.poll(() => page.getByRole("dialog").innerText()).toContain(`${outline.title} is filled`);
}

async function tabTo(page: Page, number: number): Promise<void> {
  for (let i = 0; i < 60; i++) {
    const focused = await page.evaluate(() => document.activeElement?.getAttribute("data-piece"));
    if (focused === String(number)) return page.keyboard.press("Enter");
    await page.keyboard.press("Tab");
  }
  throw new Error(`the keyboard does not come to piece ${number}`);
}

export async function carryByKeys(page: Page, number: number, [x, y]: Place): Promise<void> {
  await page.keyboard.press("ArrowLeft");
  await expect.poll(() => piece(page, number).getAttribute("aria-label")).toContain("held over");
  for (let i = 0; i < 40; i++) {
    const label = (await piece(page, number).getAttribute("aria-label"))!;
    const [, column, row] = /columns? (\d+).*rows? (\d+)/.exec(label)!.map(Number);
    const [dx, dy] = [x + 1 - column!, y + 1 - row!];
    if (dx === 0 && dy === 0) return page.keyboard.press("Enter");
    if (dx !== 0) await page.keyboard.press(dx > 0 ? "ArrowRight" : "ArrowLeft");
    else await page.keyboard.press(dy > 0 ? "ArrowUp" : "ArrowDown");
  }
  throw new Error(`piece ${number} did not come to its place`);
}

export async function dragByMouse(page: Page, from: { x: number; y: number }, to: { x: number; y: number }): Promise<void> {
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move((from.x + to.x) / 2, (from.y + to.y) / 2, { steps: 3 });
  await page.mouse.move(to.x, to.y, { steps: 3 });
  await page.mouse.up();
}

/** Fingers as the browser itself gets them. */
async function dragByTouch(page: Page, from: { x: number; y: number }, to: { x: number; y: number }): Promise<void> {
  const session = await page.context().newCDPSession(page);
  const touch = (type: "touchStart" | "touchMove" | "touchEnd", points: { x: number; y: number }[]) =>
    session.send("Input.dispatchTouchEvent", { type, touchPoints: points });
  await touch("touchStart", [from]);
  for (const part of [0.1, 0.4, 0.8, 1]) {
    await touch("touchMove", [{ x: from.x + (to.x - from.x) * part, y: from.y + (to.y - from.y) * part }]);
  }
  await touch("touchEnd", []);
  await session.detach();
}

/** Waits until what is there stands where it stood some frames ago. */
async function still(page: Page, selector: string): Promise<void> {
  await page.evaluate(async (selector) => {
    const places = () => [...document.querySelectorAll(selector)].map((e) => JSON.stringify(e.getBoundingClientRect())).join();
    for (let [last, same] = ["", 0]; same < 4; ) {
      await new Promise(requestAnimationFrame);
      const now = places();
      same = now === last ? same + 1 : 0;
      last = now;
    }
  }, selector);
}
