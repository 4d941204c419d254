// What the page keeps between visits: the mark, the outline in hand and what is
// painted. In this browser alone; the page works just as well without.

import type { Covered, Place } from "@pinfold/core";
import type { Shelf } from "@pinfold/page/start.ts";

interface Work {
  /** Tells this outline, drawn this way, from others of its name. */
  print: string;
  covered: Covered[];
}

interface Remembered {
  version: 1;
  mark: string;
  outline: string;
  work: Record<string, Work>;
}

const isCovered = (c: unknown): c is Covered => Array.isArray(c) && c.length === 3 && c.every((n) => Number.isInteger(n));

const isWork = (w: unknown): w is Work => {
  const one = w as Partial<Work> | null;
  return typeof one?.print === "string" && Array.isArray(one.covered) && one.covered.every(isCovered);
};

export const printOf = (cells: readonly Place[]): string => JSON.stringify(cells);

export class Kept {
  readonly #shelf: Shelf | null;
  readonly #key: string;
  readonly #kept: Remembered = { version: 1, mark: "", outline: "", work: Object.create(null) as Record<string, Work> };

  constructor(shelf: Shelf | null, key: string) {
    this.#shelf = shelf;
    this.#key = key;
    try {
      const read = JSON.parse(shelf?.getItem(key) ?? "null") as Partial<Remembered> | null;
      if (read?.version !== 1) return;
      if (typeof read.mark === "string") this.#kept.mark = read.mark;
      if (typeof read.outline === "string") this.#kept.outline = read.outline;
      for (const [name, work] of Object.entries(read.work ?? {})) if (isWork(work)) this.#kept.work[name] = work;
    } catch {
      // What can't be read is not ours, or spoiled: the page starts afresh.
    }
  }

  #write(): void {
    try {
      this.#shelf?.setItem(this.#key, JSON.stringify(this.#kept));
    } catch {
      // Nothing can be kept here.
    }
  }

  get mark(): string {
    return this.#kept.mark;
  }

  set mark(mark: string) {
    this.#kept.mark = mark;
    this.#write();
  }

  get outline(): string {
    return this.#kept.outline;
  }

  set outline(name: string) {
    this.#kept.outline = name;
    this.#write();
  }

  covered(name: string, cells: readonly Place[], pieces: number): Covered[] {
    const work = this.#kept.work[name];
    if (work?.print !== printOf(cells)) return [];
    return work.covered.filter(([, , piece]) => piece >= 0 && piece < pieces);
  }

  keep(name: string, cells: readonly Place[], covered: Covered[]): void {
    this.#kept.work[name] = { print: printOf(cells), covered };
    this.#write();
  }
}
