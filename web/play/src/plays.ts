// The log of plays, and the one place that knows the columns of `plays.csv`.

export interface Play {
  outline: string;
  /** Seconds of running clock. */
  seconds: number;
  finished: boolean;
  /** RFC 3339, in UTC. */
  started: string;
}

export const COLUMNS = ["tester", "outline", "minutes", "finished", "started"] as const;

/** A tester's name as it may stand in a row: one line, trimmed, at most 40 characters. */
export function testerName(text: string): string {
  // Control characters and what starts a formula in a spreadsheet are left out.
  const plain = text.replace(/[\p{Cc}\p{Cf}]/gu, " ").replace(/^[\s=+\-@]+/, "");
  return [...plain.trim()].slice(0, 40).join("");
}

/** A moment as RFC 3339 in UTC, to the second. */
export function moment(at: Date): string {
  return at.toISOString().replace(/\.\d+Z$/, "Z");
}

function field(text: string): string {
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

/** The plays as CSV (RFC 4180, with line feeds), a row a play. */
export function csv(tester: string, plays: readonly Play[]): string {
  const rows = plays.map((play) => [
    testerName(tester),
    play.outline,
    (play.seconds / 60).toFixed(2),
    play.finished ? "yes" : "no",
    play.started,
  ]);
  return [COLUMNS as readonly string[], ...rows].map((row) => `${row.map(field).join(",")}\n`).join("");
}

/** The same plays as the workshop takes them. */
export function message(tester: string, plays: readonly Play[]): string {
  const rows = plays.map((play) => ({
    tester: testerName(tester),
    outline: play.outline,
    minutes: Number((play.seconds / 60).toFixed(2)),
    finished: play.finished,
    started: play.started,
  }));
  return JSON.stringify({ plays: rows });
}
