import type { Core } from "@pinfold/core";
import { beforeEach, expect, test } from "vitest";
import { builtCore } from "../../core/src/built.ts";
import { solution } from "../tests/solve.ts";
import type { Shelf } from "@pinfold/page/start.ts";
import { Journal } from "./journal.ts";
import { basin, set } from "./quayside.ts";
import { Session, type World } from "./session.ts";

class Memory implements Shelf {
  text: string | null = null;
  full = false;
  getItem(): string | null {
    return this.text;
  }
  setItem(_key: string, text: string): void {
    if (this.full) throw new Error("full");
    this.text = text;
  }
}

let core: Core;
let now: number;
let shelf: Memory;
const world = (): World => ({
  core,
  set,
  names: ["cleat", "fender"],
  journal: new Journal(shelf, "k"),
  now: () => now,
  today: () => new Date(Date.UTC(2026, 0, 2, 3, 4, 5) + now),
});

beforeEach(async () => {
  core = await builtCore("core");
  core.open(set);
  now = 0;
  shelf = new Memory();
});

function fill(session: Session): void {
  for (const { piece, swings, turns, at } of solution(core, set, basin)) {
    session.act((t) => t.select(piece));
    for (const { hinge, turn } of swings) session.act((t) => t.swing(piece, hinge, turn));
    for (let i = 0; i < turns; i++) session.act((t) => t.turn(piece, 1));
    session.act((t) => t.carry(piece, ...at));
    now += 10_000;
    session.act((t) => t.lay(piece));
  }
}

test("a filled outline is a finished play, once", () => {
  const at = world();
  const session = new Session(at, basin);
  now += 99_000;
  expect([session.begun, session.seconds]).toEqual([false, 0]);
  fill(session);
  expect([session.finished, session.running, session.seconds]).toEqual([true, false, 20]);
  const play = { outline: "basin", seconds: 20, finished: true, started: "2026-01-02T03:05:44Z" };
  expect(at.journal.all()).toEqual([{ ...play, sent: false }]);
  // Taken apart and filled again, it is the same play.
  session.act((t) => t.putBack(t.lying.at(-1)!.piece));
  expect(new Session(at, basin).finished).toBe(true);
  session.act((t) => t.undo());
  expect(at.journal.all()).toHaveLength(1);
});

test("time stands still while hidden, paused or away", () => {
  const session = new Session(world(), basin);
  session.act((t) => t.select(0));
  now += 5_000;
  session.seen = false;
  now += 60_000;
  session.seen = true;
  now += 1_000;
  session.pause(true);
  now += 60_000;
  expect(session.act((t) => t.turn(0, 1)).ok).toBe(false);
  session.seen = false;
  session.seen = true;
  now += 60_000;
  session.pause(false);
  now += 1_000;
  session.leave();
  now += 60_000;
  expect(session.seconds).toBe(7);
});

test("an unfinished try is kept, goes on, and is logged as unfinished", () => {
  const first = new Session(world(), basin);
  first.act((t) => t.select(0));
  first.act((t) => t.carry(0, 0, 0));
  now += 30_000;
  first.act((t) => t.lay(0));
  const after = world();
  const second = new Session(after, basin);
  expect(second.table.spots[0]!.where).toBe("lying");
  expect([second.seconds, second.begun, second.running]).toEqual([30, true, false]);
  expect(after.journal.all()).toMatchObject([{ outline: "basin", seconds: 30, finished: false }]);
  second.again();
  expect(second.table.lying).toEqual([]);
  expect(after.journal.all()).toMatchObject([{ outline: "basin", seconds: 30, finished: false }]);
  expect(new Session(world(), basin).begun).toBe(false);
});

test("an outline drawn anew starts afresh", () => {
  const first = new Session(world(), basin);
  first.act((t) => t.select(0));
  now += 30_000;
  first.leave();
  expect(new Session(world(), { ...basin, pockets: [] }).seconds).toBe(0);
});

test("what was spoiled, or can't be kept, does no harm", () => {
  for (const text of ["{", "null", '{"version":1,"tries":{"basin":{"spots":3}},"plays":[7]}', '{"version":9}']) {
    shelf.text = text;
    expect(new Session(world(), basin).seconds).toBe(0);
  }
  shelf.full = true;
  const at = world();
  const session = new Session(at, basin);
  session.act((t) => t.select(0));
  expect(at.journal.keeps).toBe(false);
  expect(new Journal(null, "k").keeps).toBe(false);
});
