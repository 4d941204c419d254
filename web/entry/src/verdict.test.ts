import type { Covered, Written, WrittenFault } from "@pinfold/core";
import { expect, test } from "vitest";
import { slipText } from "./slip.ts";
import { verdict } from "./verdict.ts";

const sizes = { cells: 5, spare: 1, blocks: [2, 2] };
const fault = (kind: WrittenFault["kind"], pieces: number[]): WrittenFault => ({ kind, pieces, cells: [], at: [], says: kind });
const written = (covered: Covered[], faults: WrittenFault[]): Written => ({
  misread: [],
  covered,
  rows: "",
  short: null,
  accepted: faults.length === 0,
  faults,
  code: null,
});

test("what is still to come is no fault", () => {
  const few = [fault("blocks", [0]), fault("blocks", [1]), fault("empty", [])];
  expect(verdict(written([], few), sizes)).toMatchObject({ state: "blank", head: "0 of 4 cells covered." });
  expect(verdict(written([[0, 0, 0]], few), sizes)).toMatchObject({ state: "begun", faults: [] });
});

test("what can't become right is told at once", () => {
  const three: Covered[] = [[0, 0, 0], [1, 0, 0], [2, 0, 0]];
  const told = verdict(written(three, [fault("blocks", [0]), fault("blocks", [1]), fault("torn", [0])]), sizes);
  expect(told.state).toBe("wrong");
  expect(told.faults.map((f) => f.kind)).toEqual(["blocks", "torn"]);
  expect(told.head).toBe("3 of 4 cells covered. 2 things are not right:");
});

test("when all cells are covered every fault is told", () => {
  const all: Covered[] = [[0, 0, 0], [1, 0, 0], [2, 0, 0], [3, 0, 1]];
  expect(verdict(written(all, [fault("blocks", [0]), fault("blocks", [1])]), sizes).faults).toHaveLength(2);
  expect(verdict(written(all, []), sizes).state).toBe("right");
});

test("a slip has a place for a mark that is not there yet", () => {
  const slip = { race: null, set: "Quayside", outline: "1. Tug", name: "tug", mark: null, code: "K7Q2", rows: "AB/C" };
  expect(slipText(slip)).toBe("ENTRY\nSet: Quayside\nOutline: 1. Tug [tug]\nEntry mark: ____-____-____\nCode: K7Q2\nLayout: AB/C");
  expect(slipText({ ...slip, race: "Spring tide", mark: "0000-1111-2222" })).toContain("Race: Spring tide\nSet: Quayside\n");
});
