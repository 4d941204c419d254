// The pages' core is held to the lattice's own judge: ten thousand foldings,
// right and spoiled, and their layouts as a person would write them, judged
// natively by `cargo run -p browser --example foldings`.

import { createReadStream } from "node:fs";
import { createInterface } from "node:readline";
import { describe, expect, test } from "vitest";
import { builtCore, target } from "./built.ts";
import type { Core, Covered, Place, Placed, Written } from "./index.ts";

interface Line {
  open?: unknown;
  outline: { cells: Place[]; pockets: Place[]; spare: number };
  placed: Placed[];
  faults: string[];
  drop_in: number[] | null;
  interlocked: number[] | null;
  footprint: Place[];
  code: string | null;
  written: Pick<Written, "rows" | "short" | "accepted" | "code"> & {
    covered: Covered[];
    faults: { kind: string; says: string }[];
  };
}

interface Seen {
  foldings: number;
  right: number;
  accepted: number;
  kinds: Set<string>;
  written: Set<string>;
}

async function judged(core: Core, writes: boolean): Promise<Seen> {
  const lines = createInterface({ input: createReadStream(`${target}/web/foldings.jsonl`) });
  const [kinds, written] = [new Set<string>(), new Set<string>()];
  let [foldings, right, accepted] = [0, 0, 0];
  for await (const text of lines) {
    const line = JSON.parse(text) as Line;
    if (line.open !== undefined) {
      core.ask(line);
      continue;
    }
    const told = core.judge(line.outline, line.placed);
    const seen = { ...told, faults: told.faults.map((f) => f.says) };
    const fills = line.faults.length === 0 && line.drop_in !== null;
    const { faults, drop_in, interlocked, footprint, code } = line;
    expect(seen, text).toEqual({ fills, faults, drop_in, interlocked, footprint, code });
    told.faults.forEach((f) => kinds.add(f.kind));
    if (writes) accepted += writtenAlike(core, line, written);
    foldings += 1;
    right += Number(faults.length === 0);
  }
  return { foldings, right, accepted, kinds, written };
}

/** The layout painted, written as rows and as a code: one verdict, the native one. */
function writtenAlike(core: Core, { outline, written }: Line, kinds: Set<string>): number {
  const told = core.painted(outline, written.covered);
  const { covered, rows, short, accepted, code } = told;
  const faults = told.faults.map(({ kind, says }) => ({ kind, says }));
  expect({ covered, rows, short, accepted, code, faults }).toEqual(written);
  expect(core.written(outline, rows!)).toEqual(told);
  if (short !== null) expect(core.written(outline, short)).toMatchObject({ short, accepted, code });
  faults.forEach((f) => kinds.add(f.kind));
  return Number(accepted);
}

describe.each(["core", "rules", "entry"] as const)("%s.wasm", (name) => {
  test("judges ten thousand foldings as the native judge does", async () => {
    const { foldings, right, accepted, kinds, written } = await judged(await builtCore(name), name === "entry");
    expect(foldings).toBe(10_000);
    expect(right).toBeGreaterThan(2_000);
    expect(foldings - right).toBeGreaterThan(4_000);
    const all = ["count", "torn", "turned over", "outside", "overlap", "pins meet", "no pocket", "empty"];
    expect([...kinds].sort()).toEqual(all.sort());
    if (name !== "entry") return;
    expect(accepted).toBeGreaterThan(1_500);
    const seen = ["blocks", "empty", "hinges meet", "no fold", "torn", "turned over", "walled"];
    expect([...written].sort()).toEqual(seen);
  });
});
