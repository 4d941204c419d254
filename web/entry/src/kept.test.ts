import type { Place } from "@pinfold/core";
import { expect, test } from "vitest";
import { Kept } from "./kept.ts";

const cells: Place[] = [[0, 0], [1, 0]];

function shelf(start: Record<string, string> = {}) {
  const things = new Map(Object.entries(start));
  return { getItem: (k: string) => things.get(k) ?? null, setItem: (k: string, v: string) => void things.set(k, v) };
}

test("work is found again, on the same outline drawn the same way", () => {
  const here = shelf();
  const first = new Kept(here, "k");
  first.mark = "ABC";
  first.outline = "tug";
  first.keep("tug", cells, [[0, 0, 1]]);
  const again = new Kept(here, "k");
  expect([again.mark, again.outline]).toEqual(["ABC", "tug"]);
  expect(again.covered("tug", cells, 2)).toEqual([[0, 0, 1]]);
  expect(again.covered("tug", [...cells, [2, 0]], 2)).toEqual([]);
  // A set with fewer pieces.
  expect(again.covered("tug", cells, 1)).toEqual([]);
});

test("spoiled or forbidden storage is no harm", () => {
  for (const text of ["{", "[]", "null", '{"version":1,"mark":3,"work":{"tug":{"print":"x","covered":[[1,2,"3"]]}}}']) {
    const kept = new Kept(shelf({ k: text }), "k");
    expect([kept.mark, kept.covered("tug", cells, 9)]).toEqual(["", []]);
  }
  const closed = new Kept(
    {
      getItem: () => null,
      setItem: () => {
        throw new Error("full");
      },
    },
    "k",
  );
  closed.mark = "M";
  expect([closed.mark, new Kept(null, "k").mark]).toEqual(["M", ""]);
});
