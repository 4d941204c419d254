import type { Core } from "@pinfold/core";
import { beforeAll, describe, expect, test } from "vitest";
import { builtCore } from "../../core/src/built.ts";
import { solution, type Steps } from "../tests/solve.ts";
import { basin, cleat, set, walled } from "./quayside.ts";
import { Table } from "./table.ts";

let core: Core;
beforeAll(async () => {
  core = await builtCore("core");
  core.open(set);
});

const names = ["cleat", "fender"];
const tableOf = (outline = basin) => new Table(core, set, outline, names);

function place(table: Table, { piece, swings, turns, at }: Steps): void {
  table.select(piece);
  for (const { hinge, turn } of swings) expect(table.swing(piece, hinge, turn).ok).toBe(true);
  for (let i = 0; i < turns; i++) expect(table.turn(piece, 1).ok).toBe(true);
  expect(table.carry(piece, ...at).faults).toEqual([]);
  expect(table.lay(piece).ok).toBe(true);
}

describe("the table", () => {
  test("is filled by way of swings, turns and places", () => {
    const table = tableOf();
    const steps = solution(core, set, basin);
    for (const one of steps) {
      expect(table.filled).toBe(false);
      place(table, one);
    }
    expect(table.filled).toBe(true);
    expect(table.code).toMatch(/^[12]{8}$/);
    // The piece that went in first may be under the other; taken out, nothing is filled.
    expect(table.putBack(steps[1]!.piece).ok).toBe(true);
    expect([table.filled, table.code]).toEqual([false, null]);
    table.undo();
    expect(table.filled).toBe(true);
  });

  test("lays nothing on the wall, on another piece, or with a hinge in the wall", () => {
    const table = tableOf(walled);
    expect(table.carry(0, 2, 0).says).toContain("is wall");
    const done = table.lay(0);
    expect([done.ok, table.spots[0]!.where]).toEqual([false, "over"]);
    table.carry(0, 0, 0);
    expect(table.lay(0).says).toMatch(/needs a pocket/);
    const open = tableOf();
    open.carry(0, 0, 0);
    expect(open.lay(0).ok).toBe(true);
    open.carry(1, 0, 0);
    expect(open.lay(1).says).toMatch(/cleat has column 1, row 1/);
    expect(open.lying).toHaveLength(1);
  });

  test("a piece held where it does not fit goes back when another is picked", () => {
    const table = tableOf();
    table.carry(0, 3, 0);
    expect(table.select(1).says).toContain("cleat put back in the tray.");
    expect(table.spots.map((s) => s.where)).toEqual(["tray", "mat"]);
    table.carry(1, 0, 0);
    expect(table.select(0).says).toContain("fender laid.");
    expect(table.spots.map((s) => s.where)).toEqual(["mat", "lying"]);
  });

  test("four turns lead back, and a turn is undone", () => {
    const table = tableOf();
    table.carry(0, 0, 0);
    const start = table.places(0);
    for (let i = 0; i < 4; i++) table.turn(0, 1);
    expect(table.places(0)).toEqual(start);
    table.turn(0, 3);
    table.turn(0, 1);
    expect(table.places(0)).toEqual(start);
    table.undo();
    table.undo();
    expect([table.places(0), table.canRedo]).toEqual([start, true]);
  });

  test("a hinge taps on until it must go back", () => {
    const table = tableOf();
    table.select(0);
    const poses = new Set<string>();
    for (let i = 0; i < 6; i++) {
      expect(table.tap(0, 0).ok).toBe(true);
      poses.add(JSON.stringify(table.places(0)));
    }
    // Side by side, corner to corner, side by side, and back the same way.
    expect(poses.size).toBe(3);
  });

  test("a blocked swing is refused with the reason", () => {
    const table = tableOf();
    table.select(1);
    const says = table.moves(1).filter((m) => m.after === null).map((m) => table.swing(1, m.hinge, m.turn));
    expect(says.length).toBeGreaterThan(0);
    for (const done of says) {
      expect(done.ok).toBe(false);
      expect(done.says).toMatch(/is as far as it goes|would run into/);
    }
  });

  test("beside the outline a piece goes to the mat, and moves no farther than the table", () => {
    const table = tableOf();
    table.carry(0, -4, 0);
    expect(table.lay(0).ok).toBe(true);
    expect(table.spots[0]!.where).toBe("mat");
    table.nudge(0, 1, 0);
    expect(table.spots[0]!.where).toBe("over");
    for (let i = 0; i < 20; i++) table.nudge(0, 1, 0);
    expect(table.nudge(0, 1, 0).ok).toBe(false);
  });

  test("kept spots are adopted only as far as they keep the rules", () => {
    const table = tableOf();
    for (const one of solution(core, set, basin)) place(table, one);
    const kept = structuredClone(table.spots) as typeof table.spots;
    const again = tableOf();
    again.adopt(kept);
    expect(again.filled).toBe(true);
    const torn = kept.map((s, i) => (i === 0 ? { ...s, pose: s.pose.with(0, [0, 1, 7, 7]) } : s));
    again.adopt(torn);
    expect(again.spots.map((s) => s.where)).toEqual(["tray", "lying"]);
    again.adopt(kept.map((s) => ({ ...s, pose: kept[0]!.pose.slice(0, 4) })));
    expect(again.lying).toHaveLength(1);
  });
});

test("a lower hinge can't go in under a higher one, nor out from under it", async () => {
  // Both pieces have a hinge at their right upper corner, one low, one high.
  const pair = (level: number) => ({
    blocks: [[0, 0], [0, 1]] as [number, number][],
    hinges: [{ pin: [1, 1] as [number, number], joins: [0, 1] as [number, number], level }],
    rigid: false,
  });
  const two = { ...set, pieces: [pair(0), pair(1)] };
  const own = await builtCore("rules");
  own.open(two);
  const outline = { ...basin, cells: [[0, 0], [0, 1], [1, 0], [1, 1]] as [number, number][], pockets: [] };
  const table = new Table(own, two, outline, ["low", "high"]);
  const put = (piece: number, x: number) => {
    table.select(piece);
    if (piece === 1) [1, 1].forEach(() => table.turn(1, 1));
    table.carry(piece, x, 0);
    return table.lay(piece);
  };
  expect(put(1, 1).ok).toBe(true);
  const under = put(0, 0);
  expect([under.ok, under.says]).toEqual([false, expect.stringContaining("take high out first")]);
  table.putBack(1);
  expect(table.lay(0).ok || put(0, 0).ok).toBe(true);
  table.select(1);
  table.carry(1, 1, 0);
  expect(table.lay(1).ok).toBe(true);
  expect(table.filled).toBe(true);
  const out = table.putBack(0);
  expect([out.ok, out.says]).toEqual([false, expect.stringContaining("low can't come out")]);
  expect(table.spots[0]!.where).toBe("lying");
});

test("a ring folds as a whole where the rule allows it, and not by swings", async () => {
  const own = await builtCore("rules");
  const ring = {
    blocks: [[0, 0], [1, 0], [1, 1], [0, 1]] as [number, number][],
    hinges: [
      { pin: [1, 0], joins: [0, 1], level: 0 },
      { pin: [1, 1], joins: [1, 2], level: 1 },
      { pin: [1, 2], joins: [2, 3], level: 0 },
      { pin: [1, 1], joins: [3, 0], level: 0 },
    ] as (typeof cleat)["hinges"],
    rigid: false,
  };
  const any = { ...set, reach: "any" as const, pieces: [ring] };
  own.open(any);
  const table = new Table(own, any, basin, ["ring"]);
  const done = table.tap(0, 0);
  expect([done.ok, done.says]).toEqual([true, expect.stringContaining("other hinges moving along")]);
  own.open({ ...any, reach: "swings" });
  const still = new Table(own, { ...any, reach: "swings" }, basin, ["ring"]).tap(0, 0);
  expect([still.ok, still.says]).toEqual([false, expect.stringContaining("can't fold")]);
});
