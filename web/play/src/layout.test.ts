import { expect, test } from "vitest";
import { type Box, layout } from "./layout.ts";

const apart = (a: Box, b: Box) =>
  a.x + a.width <= b.x + 1e-9 || b.x + b.width <= a.x + 1e-9 || a.y + a.height <= b.y + 1e-9 || b.y + b.height <= a.y + 1e-9;

test("on any screen nothing overlaps and all is inside", () => {
  for (const [width, height] of [[340, 520], [800, 500], [1400, 800], [320, 300]] as const) {
    for (const [w, h] of [[7, 6], [4, 2], [3, 12], [14, 5]] as const) {
      for (const pieces of [1, 5, 12]) {
        const found = layout({ x: -2, y: 5, width: w, height: h }, pieces, 5, { width, height });
        const board = { x: found.origin.x - 0.6, y: found.origin.y - h - 0.6, width: w + 1.2, height: h + 1.2 };
        const boxes = [board, found.mat, ...found.berths];
        boxes.forEach((a, i) => boxes.slice(i + 1).forEach((b) => expect(apart(a, b)).toBe(true)));
        for (const b of boxes) {
          expect(Math.min(b.x, b.y)).toBeGreaterThanOrEqual(0);
          expect(b.x + b.width).toBeLessThanOrEqual(found.width + 1e-9);
          expect(b.y + b.height).toBeLessThanOrEqual(found.height + 1e-9);
        }
        expect(found.width * found.pitch).toBeLessThanOrEqual(width + 1e-6);
        if (found.pitch > 37.1) expect(found.height * found.pitch).toBeLessThanOrEqual(height + 1e-6);
      }
    }
  }
});

test("a phone stacks, a wide screen does not", () => {
  const board = { x: 0, y: 0, width: 7, height: 6 };
  const phone = layout(board, 5, 5, { width: 360, height: 560 });
  expect(phone.mat.y).toBeGreaterThan(phone.origin.y);
  // A hinge can be hit: a third of a pitch in radius is 24 pixels across.
  expect(phone.pitch).toBeGreaterThan(36);
  const wide = layout(board, 5, 5, { width: 1200, height: 700 });
  expect(wide.mat.x).toBeGreaterThan(wide.origin.x + 7);
});
