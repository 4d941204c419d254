import type { Motion, Place } from "@pinfold/core";
import { expect, test } from "vitest";
import { builtCore } from "../../core/src/built.ts";
import { boundsOf } from "@pinfold/page/bounds.ts";
import { carried, moved, shifted } from "./motion.ts";

const domino = {
  levels: 1,
  turn_over: true,
  interlocked: false,
  reach: "any" as const,
  sizes: { pitch: 15, gap: 0.3, knuckle: 3, clearance: 0.3 },
  pieces: [
    {
      blocks: [[0, 0], [1, 0]] as Place[],
      hinges: [{ pin: [1, 1] as Place, joins: [0, 1] as [number, number], level: 0 }],
      rigid: false,
    },
  ],
};

test("motions carry pins and cells as the core does", async () => {
  const core = await builtCore("rules");
  core.open(domino);
  const all: Motion[] = [];
  for (const mirrored of [0, 1]) for (const turn of [0, 1, 2, 3]) all.push([mirrored, turn, 3, -2]);
  for (const first of all) {
    for (const next of all) {
      const pose = moved([first, first], next);
      const once = core.places(0, [first, first]);
      const twice = core.places(0, pose);
      expect(twice.pins[0]?.slice(0, 2)).toEqual(carried(next, once.pins[0]!.slice(0, 2) as Place));
      // The centre of a cell goes where the motion carries it.
      const centres = (cells: Place[]) => cells.map(([x, y]): Place => [x + 0.5, y + 0.5]);
      expect(centres(twice.cells)).toEqual(centres(once.cells).map((c) => carried(next, c)));
    }
  }
  expect(shifted([[1, 3, 0, 0]], 2, 5)).toEqual([[1, 3, 2, 5]]);
});

test("bounds hold all cells", () => {
  expect(boundsOf([[3, 4], [-1, 6]])).toEqual({ x: -1, y: 4, width: 5, height: 3 });
});
