// What the page keeps between visits: the tester's name, where every try
// stands, and the plays that are over. It is kept in this browser alone, and
// the page works just as well where nothing can be kept.

import type { Shelf } from "@pinfold/page/start.ts";
import type { Play } from "./plays.ts";
import type { Spot } from "./table.ts";

/** A try that is under way, or over and still to be seen. */
export interface Try {
  /** Tells this outline, drawn this way, from others of its name. */
  print: string;
  spots: readonly Spot[];
  seconds: number;
  /** None while nothing has been done. */
  started: string | null;
  finished: boolean;
}

export interface Over extends Play {
  /** The workshop has it. */
  sent: boolean;
}

interface Kept {
  version: 1;
  tester: string;
  tries: Record<string, Try>;
  plays: Over[];
}

const isTry = (t: unknown): t is Try => {
  const one = t as Partial<Try> | null;
  return (
    typeof one === "object" &&
    one !== null &&
    typeof one.print === "string" &&
    Array.isArray(one.spots) &&
    typeof one.seconds === "number" &&
    Number.isFinite(one.seconds) &&
    one.seconds >= 0 &&
    (one.started === null || typeof one.started === "string")
  );
};

const isOver = (p: unknown): p is Over => {
  const one = p as Partial<Over> | null;
  return (
    typeof one?.outline === "string" && typeof one.seconds === "number" && typeof one.started === "string"
  );
};

export class Journal {
  readonly #shelf: Shelf | null;
  readonly #key: string;
  readonly #kept: Kept = { version: 1, tester: "", tries: Object.create(null) as Record<string, Try>, plays: [] };
  /** False once something could not be kept. */
  keeps = true;

  constructor(shelf: Shelf | null, key: string) {
    this.#shelf = shelf;
    this.#key = key;
    this.keeps = shelf !== null;
    this.#read();
  }

  #read(): void {
    try {
      const kept = JSON.parse(this.#shelf?.getItem(this.#key) ?? "null") as Partial<Kept> | null;
      if (kept?.version !== 1) return;
      if (typeof kept.tester === "string") this.#kept.tester = kept.tester;
      for (const [name, one] of Object.entries(kept.tries ?? {})) if (isTry(one)) this.#kept.tries[name] = one;
      this.#kept.plays = (kept.plays ?? []).filter(isOver);
    } catch {
      // What can't be read is not ours, or spoiled: the page starts afresh.
    }
  }

  #write(): void {
    try {
      this.#shelf?.setItem(this.#key, JSON.stringify(this.#kept));
    } catch {
      this.keeps = false;
    }
  }

  get tester(): string {
    return this.#kept.tester;
  }

  set tester(name: string) {
    this.#kept.tester = name;
    this.#write();
  }

  /** The try at an outline, if it was drawn this way. */
  at(outline: string, print: string): Try | null {
    const one = this.#kept.tries[outline];
    return one?.print === print ? one : null;
  }

  keep(outline: string, one: Try): void {
    this.#kept.tries[outline] = one;
    this.#write();
  }

  /** The plays that are over, oldest first. */
  get over(): readonly Over[] {
    return this.#kept.plays;
  }

  end(play: Play): void {
    this.#kept.plays.push({ ...play, sent: false });
    this.#write();
  }

  sent(plays: readonly Play[]): void {
    for (const play of this.#kept.plays) if (plays.includes(play)) play.sent = true;
    this.#write();
  }

  /** All plays: those over, then tries begun and not finished, as unfinished. */
  all(): Play[] {
    const open = Object.entries(this.#kept.tries)
      .filter(([, t]) => t.started !== null && !t.finished && t.seconds > 0)
      .map(([outline, t]): Play => ({ outline, seconds: t.seconds, finished: false, started: t.started ?? "" }));
    return [...this.#kept.plays, ...open];
  }
}
