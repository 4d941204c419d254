// Undo and redo without end: every state that was, as long as the page lives.

/** A state with all those before it and those that were taken back. */
export class History<T> {
  #past: T[] = $state.raw([]);
  #future: T[] = $state.raw([]);
  #now: T = $state.raw() as T;

  constructor(first: T) {
    this.#now = first;
  }

  get now(): T {
    return this.#now;
  }
  get canUndo(): boolean {
    return this.#past.length > 0;
  }
  get canRedo(): boolean {
    return this.#future.length > 0;
  }

  /** Goes on to a new state. */
  to(next: T): void {
    if (Object.is(next, this.#now)) return;
    this.#past = [...this.#past, this.#now];
    this.#future = [];
    this.#now = next;
  }

  /** Changes the state without a step of its own: the stroke is still being drawn. */
  within(next: T): void {
    this.#now = next;
  }

  undo(): void {
    const last = this.#past.at(-1);
    if (last === undefined) return;
    this.#past = this.#past.slice(0, -1);
    this.#future = [this.#now, ...this.#future];
    this.#now = last;
  }

  redo(): void {
    const next = this.#future[0];
    if (next === undefined) return;
    this.#future = this.#future.slice(1);
    this.#past = [...this.#past, this.#now];
    this.#now = next;
  }

  /** Begins anew. */
  reset(first: T): void {
    this.#past = [];
    this.#future = [];
    this.#now = first;
  }
}
