// One tester at one outline: the table, the clock and the journal together.
// The clock starts with the first thing done and ends when the outline is filled.

import type { Core, SetRecord } from "@pinfold/core";
import { Clock } from "./clock.ts";
import type { PlayedOutline } from "@pinfold/page/data.ts";
import type { Journal } from "./journal.ts";
import { moment } from "./plays.ts";
import { type Done, Table } from "./table.ts";

/** What a session needs of the world. */
export interface World {
  core: Core;
  set: SetRecord;
  names: readonly string[];
  journal: Journal;
  /** Milliseconds of a clock that does not jump. */
  now: () => number;
  today: () => Date;
}

export class Session {
  readonly outline: PlayedOutline;
  table: Table;
  finished = false;
  paused = false;
  readonly #world: World;
  readonly #print: string;
  #clock: Clock;
  #started: string | null = null;
  #seen = true;

  constructor(world: World, outline: PlayedOutline) {
    this.#world = world;
    this.outline = outline;
    const { cells, pockets, spare } = outline;
    this.#print = world.core.seal("print", JSON.stringify([cells, pockets, spare]));
    this.table = new Table(world.core, world.set, outline, world.names);
    const kept = world.journal.at(outline.name, this.#print);
    this.#clock = new Clock(world.now, kept?.seconds);
    if (kept !== null) {
      this.table.adopt(kept.spots);
      this.#started = kept.started;
      this.finished = kept.finished;
    }
  }

  get seconds(): number {
    return this.#clock.seconds;
  }

  get running(): boolean {
    return this.#clock.runs;
  }

  get begun(): boolean {
    return this.#started !== null;
  }

  /** Does something on the table; whether the outline is filled by it is seen here. */
  act(what: (table: Table) => Done): Done {
    if (this.paused) return { ok: false, says: "The clock is paused.", faults: [], course: null };
    if (!this.finished) {
      this.#started ??= moment(this.#world.today());
      this.#time();
    }
    const before = this.table.spots;
    const done = what(this.table);
    if (!this.finished && before !== this.table.spots && this.table.filled) {
      this.finished = true;
      this.#clock.stop();
      this.#world.journal.end(this.#play(true));
    }
    this.keep();
    return done;
  }

  /** The page is seen, or not. */
  set seen(seen: boolean) {
    this.#seen = seen;
    this.#time();
    this.keep();
  }

  pause(paused: boolean): void {
    this.paused = paused;
    this.#time();
    this.keep();
  }

  /** Leaves this outline for another: the clock stops, the try stays open. */
  leave(): void {
    this.#clock.stop();
    this.keep();
  }

  /** A new try. One that was begun and not finished is logged as unfinished. */
  again(): void {
    this.#clock.stop();
    if (this.#started !== null && !this.finished && this.seconds > 0) this.#world.journal.end(this.#play(false));
    this.table = new Table(this.#world.core, this.#world.set, this.outline, this.#world.names);
    this.#clock = new Clock(this.#world.now);
    this.#started = null;
    this.finished = false;
    this.paused = false;
    this.keep();
  }

  keep(): void {
    this.#world.journal.keep(this.outline.name, {
      print: this.#print,
      spots: this.table.spots,
      seconds: Math.round(this.seconds * 10) / 10,
      started: this.#started,
      finished: this.finished,
    });
  }

  #time(): void {
    if (this.begun && this.#seen && !this.paused && !this.finished) this.#clock.run();
    else this.#clock.stop();
  }

  #play(finished: boolean): { outline: string; seconds: number; finished: boolean; started: string } {
    return { outline: this.outline.name, seconds: this.seconds, finished, started: this.#started ?? "" };
  }
}
