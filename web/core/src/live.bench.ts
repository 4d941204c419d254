// How long the pages' own core takes for a stroke: the strokes that
// `cargo bench -p workshop` has left, in the time of processors and on the wall.

import { readFile } from "node:fs/promises";
import { expect, it } from "vitest";
import { builtCore, target } from "./built.ts";
import type { Place, SetRecord } from "./index.ts";

it("answers each stroke", async () => {
  const { set, strokes } = JSON.parse(await readFile(`${target}/web/strokes.json`, "utf8")) as { set: SetRecord; strokes: Place[][] };
  const core = await builtCore("core");
  core.open(set);
  const start = performance.now();
  core.live({ cells: [], pockets: [] });
  console.log(`the set made ready in ${(performance.now() - start).toFixed(0)} ms`);
  const wall: number[] = [];
  const worked: number[] = [];
  let incomplete = 0;
  for (const cells of strokes) {
    const before = process.cpuUsage();
    const from = performance.now();
    const { filling, advice } = core.live({ cells, pockets: [], budget: { milliseconds: 60 } });
    wall.push(performance.now() - from);
    const { user, system } = process.cpuUsage(before);
    worked.push((user + system) / 1000);
    if (!filling?.complete || !advice?.complete) incomplete += 1;
  }
  for (const [what, times] of [["on the wall", wall], ["of processors", worked]] as const) {
    times.sort((a, b) => a - b);
    const at = (share: number) => (times[Math.floor((times.length - 1) * share)] ?? NaN).toFixed(1);
    console.log(`${strokes.length} strokes, time ${what}: median ${at(0.5)} ms, 95 % ${at(0.95)} ms, 99 % ${at(0.99)} ms, longest ${at(1)} ms`);
  }
  console.log(`answers not complete in their time: ${incomplete}`);
  expect(wall).toHaveLength(strokes.length);
});
