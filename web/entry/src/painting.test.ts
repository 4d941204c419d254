import type { Place } from "@pinfold/core";
import { expect, test } from "vitest";
import { beyond, Painting, reading } from "./painting.ts";

const cells: Place[] = [[0, 0], [1, 0], [3, 0], [0, 1], [0, 2]];

test("a stroke is one step, and undo and redo have no end", () => {
  const painting = new Painting(cells);
  painting.begin();
  painting.put([0, 0], 2);
  painting.put([1, 0], 2);
  painting.end();
  painting.put([3, 0], 1);
  expect(painting.covered).toEqual([[0, 0, 2], [1, 0, 2], [3, 0, 1]]);
  painting.undo();
  expect(painting.covered).toEqual([[0, 0, 2], [1, 0, 2]]);
  painting.undo();
  expect([painting.covered, painting.canUndo]).toEqual([[], false]);
  painting.undo();
  painting.redo();
  painting.redo();
  expect([painting.covered.length, painting.canRedo]).toEqual([3, false]);
  painting.undo();
  painting.put([0, 1], 0);
  expect(painting.canRedo).toBe(false);
});

test("what changes nothing is no step, and cells elsewhere are left out", () => {
  const painting = new Painting(cells, [[0, 0, 1], [9, 9, 1]]);
  expect(painting.covered).toEqual([[0, 0, 1]]);
  painting.put([0, 0], 1);
  painting.put([5, 5], 1);
  painting.begin();
  painting.put([0, 1], 0);
  painting.put([0, 1], null);
  painting.end();
  expect(painting.canUndo).toBe(false);
  painting.set([[0, 2, 3]]);
  expect([painting.owner([0, 0]), painting.owner([0, 2])]).toEqual([null, 3]);
  painting.undo();
  expect(painting.covered).toEqual([[0, 0, 1]]);
});

test("cells are read from the top, and arrows go over walls", () => {
  expect(reading(cells)).toEqual([[0, 2], [0, 1], [0, 0], [1, 0], [3, 0]]);
  expect(beyond(cells, [1, 0], [1, 0])).toEqual([3, 0]);
  expect(beyond(cells, [3, 0], [1, 0])).toBeNull();
  expect(beyond(cells, [0, 0], [0, 1])).toEqual([0, 1]);
  expect(beyond(cells, [3, 0], [0, 1])).toBeNull();
});
