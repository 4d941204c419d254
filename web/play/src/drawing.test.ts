import type { Pose } from "@pinfold/core";
import { expect, test } from "vitest";
import { builtCore } from "../../core/src/built.ts";
import { atRest, underWay } from "./drawing.ts";
import { basin, cleat, set } from "./quayside.ts";
import { Table } from "./table.ts";

test("a way begins and ends where the piece rests, and its pins stay in its blocks", async () => {
  const core = await builtCore("rules");
  core.open(set);
  const table = new Table(core, set, basin, ["cleat", "fender"]);
  table.select(0);
  const acts = [
    () => table.swing(0, 1, 1),
    () => table.swing(0, 0, 3),
    () => table.turn(0, 1),
    () => table.turn(0, 3),
    () => table.tap(0, 2),
  ];
  let courses = 0;
  for (const act of acts) {
    const { course } = act();
    if (course === null) continue;
    courses += 1;
    const close = (a: object, b: object) => expect(JSON.stringify(a, rounded)).toBe(JSON.stringify(b, rounded));
    const places = (pose: Pose) => atRest(cleat, pose);
    const at = (part: number) => underWay(cleat, course, part);
    const xy = ({ blocks, pins }: ReturnType<typeof atRest>) => [blocks.map((b) => [b.x, b.y]), pins];
    close(xy(at(0)), xy(places(course.from)));
    close(xy(at(1)), xy(places(course.to)));
    // Half-way each pin is still at a corner of both blocks it joins.
    const { blocks, pins } = at(0.5);
    cleat.hinges.forEach(({ joins }, h) => {
      for (const block of joins) {
        const { x, y } = blocks[block]!;
        expect(Math.hypot(pins[h]![0] - x, pins[h]![1] - y)).toBeCloseTo(Math.SQRT1_2, 6);
      }
    });
  }
  expect(courses).toBeGreaterThan(3);
});

function rounded(_key: string, value: unknown): unknown {
  return typeof value === "number" ? Math.round(value * 1e6) / 1e6 + 0 : value;
}
