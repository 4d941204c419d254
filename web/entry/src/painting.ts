// Which piece covers which cell, as it is painted: strokes, undo and redo
// without end. What the layout is worth, the core says.

import type { Covered, Place } from "@pinfold/core";

type Owners = ReadonlyMap<string, number>;

const keyOf = (cell: Place): string => `${cell[0]},${cell[1]}`;

const alike = (a: Owners, b: Owners): boolean => a.size === b.size && [...a].every(([key, piece]) => b.get(key) === piece);

export class Painting {
  readonly #cells: ReadonlyMap<string, Place>;
  #owners: Map<string, number>;
  #past: Owners[] = [];
  #future: Owners[] = [];
  /** What stood before the stroke that is under way. */
  #before: Owners | null = null;

  constructor(cells: readonly Place[], covered: readonly Covered[] = []) {
    this.#cells = new Map(cells.map((cell) => [keyOf(cell), cell]));
    this.#owners = this.#read(covered);
  }

  /** What is on this outline; anything else is left out. */
  #read(covered: readonly Covered[]): Map<string, number> {
    return new Map(covered.map(([x, y, piece]): [string, number] => [keyOf([x, y]), piece]).filter(([key]) => this.#cells.has(key)));
  }

  owner(cell: Place): number | null {
    return this.#owners.get(keyOf(cell)) ?? null;
  }

  /** Every covered cell, in the order of the outline's cells. */
  get covered(): Covered[] {
    return [...this.#cells].flatMap(([key, [x, y]]): Covered[] => {
      const piece = this.#owners.get(key);
      return piece === undefined ? [] : [[x, y, piece]];
    });
  }

  /** From here to `end` all is one step of undo. */
  begin(): void {
    this.#before ??= new Map(this.#owners);
  }

  /** Gives a cell to a piece, or to none. */
  put(cell: Place, piece: number | null): void {
    const key = keyOf(cell);
    if (!this.#cells.has(key)) return;
    const alone = this.#before === null;
    this.begin();
    if (piece === null) this.#owners.delete(key);
    else this.#owners.set(key, piece);
    if (alone) this.end();
  }

  end(): void {
    const before = this.#before;
    this.#before = null;
    if (before === null || alike(before, this.#owners)) return;
    this.#past.push(before);
    this.#future = [];
  }

  /** The whole board anew, in one step. */
  set(covered: readonly Covered[]): void {
    this.end();
    this.begin();
    this.#owners = this.#read(covered);
    this.end();
  }

  get canUndo(): boolean {
    return this.#past.length > 0;
  }

  get canRedo(): boolean {
    return this.#future.length > 0;
  }

  undo(): void {
    this.end();
    const before = this.#past.pop();
    if (before === undefined) return;
    this.#future.push(this.#owners);
    this.#owners = new Map(before);
  }

  redo(): void {
    const after = this.#future.pop();
    if (after === undefined) return;
    this.#past.push(this.#owners);
    this.#owners = new Map(after);
  }
}

/** The cells in the order of reading: the top row first, left to right. */
export function reading(cells: readonly Place[]): Place[] {
  return [...cells].sort(([ax, ay], [bx, by]) => by - ay || ax - bx);
}

/** The nearest cell of the outline in a direction, over walls; none at the edge. */
export function beyond(cells: readonly Place[], [x, y]: Place, [dx, dy]: Place): Place | null {
  const ahead = cells.filter(([cx, cy]) => (dx === 0 ? cx === x && (cy - y) * dy > 0 : cy === y && (cx - x) * dx > 0));
  const far = ([cx, cy]: Place) => Math.abs(cx - x) + Math.abs(cy - y);
  return ahead.sort((a, b) => far(a) - far(b))[0] ?? null;
}
