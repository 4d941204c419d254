import { beforeAll, describe, expect, it } from "vitest";
import { builtCore } from "../../../core/src/built.ts";
import { History } from "./history.svelte";
import { useRules, walls } from "./rules";
import { type Drawn, axisOf, difference, drawnOf, images, key, openingOf, paint, setPockets, together } from "./drawn";

beforeAll(async () => useRules(await builtCore("rules")));

const bar: Drawn = drawnOf("Bar", { cells: [[0, 0], [1, 0]], pockets: [[1, 1]], spare: 0 });

describe("what is drawn", () => {
  it("comes back as it was", () => {
    expect(openingOf(bar)).toEqual({ cells: [[0, 0], [1, 0]], pockets: [[1, 1]], spare: 0 });
  });

  it("loses a pocket when its wall goes", () => {
    const square = paint(bar, [[0, 1], [1, 1]], true);
    expect(walls(square.cells).has(key(1, 1))).toBe(false);
    expect(walls(square.cells).size).toBe(8);
    expect(walls(new Set()).size).toBe(0);
    expect(square.pockets.size).toBe(0);
    expect(paint(bar, [[0, 0]], true)).toBe(bar);
  });

  it("is held against the wish", () => {
    expect(difference(paint(bar, [[0, 1]], true).cells, new Set([key(0, 0), key(5, 5)]))).toEqual({ added: [[0, 1], [1, 0]], left_out: [[5, 5]] });
  });

  it("takes pockets at walls only", () => {
    expect(setPockets(bar, [[0, 0], [7, 7]], true).pockets).toEqual(new Set([key(1, 1), key(0, 0)]));
  });
});

describe("symmetric brushes", () => {
  const axis = axisOf(bar.cells, 10, 10);
  it("stand in the middle of what is drawn", () => expect(axis).toEqual({ x2: 2, y2: 1 }));
  it("mirror cells and vertices", () => {
    expect(images("sides", axis, [0, 0], false)).toEqual([[0, 0], [1, 0]]);
    expect(images("sides", axis, [0, 1], true)).toEqual([[0, 1], [2, 1]]);
    expect(images("both", { x2: 4, y2: 4 }, [0, 1], false)).toHaveLength(4);
  });
  it("turn about a spot that has quarter turns", () => {
    for (const [x2, y2] of [[4, 4], [5, 4], [3, 3]] as const) {
      const all = images("quarter", { x2, y2 }, [0, 1], false);
      expect(all).toHaveLength(4);
      for (const s of all) {
        expect(Number.isInteger(s[0]) && Number.isInteger(s[1])).toBe(true);
        expect(images("quarter", { x2, y2 }, s, false)).toHaveLength(4);
      }
    }
  });
});

describe("two versions of a drawing", () => {
  it("are put together spot by spot", () => {
    const mine = paint(bar, [[2, 0]], true);
    const theirs = { ...setPockets(bar, [[0, 1]], true), title: "Spar" };
    const both = together(bar, mine, theirs);
    expect(both.title).toBe("Spar");
    expect(both.cells.size).toBe(3);
    expect(both.pockets).toEqual(new Set([key(1, 1), key(0, 1)]));
    expect(together(bar, bar, theirs)).toEqual(theirs);
    expect(together(bar, mine, bar)).toEqual(mine);
  });
});

describe("history", () => {
  it("goes back to the very first state, and forth again", () => {
    const history = new History(0);
    for (let n = 1; n <= 5000; n++) history.to(n);
    for (let n = 0; n < 5000; n++) history.undo();
    expect(history.now).toBe(0);
    expect(history.canUndo).toBe(false);
    history.redo();
    history.to(99);
    expect([history.now, history.canRedo]).toEqual([99, false]);
  });
});
