import { expect, it } from "vitest";
import { openingOfDrawing, spelt } from "./asked";

it("reads a drawing as the files have it", () => {
  const tug = "+ + o +\n # # .\n+ + + o\n # # #\n+ o + +\n";
  expect(openingOfDrawing(tug)).toEqual({
    cells: [[0, 1], [1, 1], [0, 0], [1, 0], [2, 0]],
    pockets: [[2, 2], [3, 1], [1, 0]],
    spare: 0,
  });
});

it("says times as people do", () => {
  expect([0.5, 12.4, 150, 5000].map(spelt)).toEqual(["30 s", "12 min", "3 h", "3 days"]);
});
