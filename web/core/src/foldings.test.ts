// The pages' core is held to the lattice's own judge: ten thousand foldings,
// right and spoiled, judged natively by `cargo run -p browser --example foldings`.

import { createReadStream } from "node:fs";
import { createInterface } from "node:readline";
import { describe, expect, test } from "vitest";
import { builtCore, target } from "./built.ts";
import type { Core, Place, Placed } from "./index.ts";

interface Line {
  open?: unknown;
  outline: { cells: Place[]; pockets: Place[]; spare: number };
  placed: Placed[];
  faults: string[];
  drop_in: number[] | null;
  interlocked: number[] | null;
  footprint: Place[];
  code: string | null;
}

async function judged(core: Core): Promise<{ foldings: number; right: number; kinds: Set<string> }> {
  const lines = createInterface({ input: createReadStream(`${target}/web/foldings.jsonl`) });
  const kinds = new Set<string>();
  let foldings = 0;
  let right = 0;
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
    foldings += 1;
    right += Number(faults.length === 0);
  }
  return { foldings, right, kinds };
}

describe.each(["core", "rules"] as const)("%s.wasm", (name) => {
  test("judges ten thousand foldings as the native judge does", async () => {
    const { foldings, right, kinds } = await judged(await builtCore(name));
    expect(foldings).toBe(10_000);
    expect(right).toBeGreaterThan(2_000);
    expect(foldings - right).toBeGreaterThan(4_000);
    const all = ["count", "torn", "turned over", "outside", "overlap", "pins meet", "no pocket", "empty"];
    expect([...kinds].sort()).toEqual(all.sort());
  });
});
