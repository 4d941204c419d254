// The time spent on a try: it runs only while the page is seen and the try is
// neither paused nor over.

export class Clock {
  #before: number;
  #since: number | null = null;
  readonly #now: () => number;

  /** `now` in milliseconds; `before` seconds spent already. */
  constructor(now: () => number, before = 0) {
    this.#now = now;
    this.#before = before * 1000;
  }

  get runs(): boolean {
    return this.#since !== null;
  }

  get seconds(): number {
    // A clock that was set back must not take time away.
    const running = this.#since === null ? 0 : Math.max(0, this.#now() - this.#since);
    return (this.#before + running) / 1000;
  }

  run(): void {
    this.#since ??= this.#now();
  }

  stop(): void {
    this.#before = this.seconds * 1000;
    this.#since = null;
  }
}

/** As in "4:07" or "1:02:30". */
export function shown(seconds: number): string {
  const whole = Math.floor(seconds);
  const two = (n: number) => String(n).padStart(2, "0");
  const [hours, minutes] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60];
  return hours > 0 ? `${hours}:${two(minutes)}:${two(whole % 60)}` : `${minutes}:${two(whole % 60)}`;
}

/** As in "4 minutes 7 seconds", for who hears it. */
export function spoken(seconds: number): string {
  const whole = Math.floor(seconds);
  const count = (n: number, word: string) => `${n} ${word}${n === 1 ? "" : "s"}`;
  const parts = [
    [Math.floor(whole / 3600), "hour"],
    [Math.floor(whole / 60) % 60, "minute"],
    [whole % 60, "second"],
  ] as const;
  const told = parts.filter(([n]) => n > 0).map(([n, word]) => count(n, word));
  return told.length > 0 ? told.join(" ") : "0 seconds";
}
