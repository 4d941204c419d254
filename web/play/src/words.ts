// Sentences for people: what is wrong with a placement, where a piece is.
// Columns and rows are counted from 1 at the lower left; a corner is (x, y)
// lines from there.

import type { Fault, Move, PinPlace, Place } from "@pinfold/core";
import { boundsOf } from "@pinfold/page/bounds.ts";
import { cellWords, cornerWords, listed, type Origin } from "@pinfold/page/words.ts";

const span = (word: string, from: number, count: number): string =>
  count === 1 ? `${word} ${from}` : `${word}s ${from} to ${from + count - 1}`;

/** As in "columns 2 to 4, row 1". */
export function rangeWords(cells: readonly Place[], [ox, oy]: Origin): string {
  const { x, y, width, height } = boundsOf(cells);
  return `${span("column", x - ox + 1, width)}, ${span("row", y - oy + 1, height)}`;
}

/** How high a level is, for one of `levels`. */
export function levelWords(level: number, levels: number): string {
  if (levels === 1) return "";
  if (levels === 2) return level === 0 ? "low" : "high";
  return `level ${level}`;
}

/** What keeps a piece from lying where it is, in one sentence. */
export function faultWords(
  name: string,
  faults: readonly Fault[],
  owner: (cell: Place) => string | undefined,
  origin: Origin,
): string {
  const first = faults[0];
  if (first === undefined) return `${name} fits.`;
  const more = faults.length > 1 ? ` (and ${faults.length - 1} more)` : "";
  const reason = ((): string => {
    switch (first.kind) {
      case "outside":
        return `${cellWords(first.cell!, origin)} is wall`;
      case "overlap": {
        const other = owner(first.cell!);
        return `${other ?? "another block"} has ${cellWords(first.cell!, origin)}`;
      }
      case "pins meet":
        return `two hinges would stand on one level at ${cornerWords(first.at!, origin)}`;
      case "no pocket":
        return `its hinge at ${cornerWords(first.at!, origin)} needs a pocket in the wall`;
      case "turned over":
        return "pieces of this set are not turned over";
      default:
        return first.says;
    }
  })();
  return `${name} does not fit: ${reason}${more}.`;
}

/** Why a hinge does not turn, or how it did; without a full stop. */
export function moveWords(name: string, move: Move): string {
  const hinge = `Hinge ${move.hinge + 1} of ${name}`;
  const way = move.turn === 1 ? "anticlockwise" : "clockwise";
  const [a, b] = move.meet ?? [0, 0];
  switch (move.how) {
    case "swing":
      return `${hinge} swung ${way}`;
    case "through":
      return `${hinge} folded ${way}; a single swing would not be clear, but the rules of this set allow the fold`;
    case "together":
      return `${hinge} folded ${way}, with other hinges moving along`;
    case "partner":
      return `${hinge} is as far as it goes ${way}`;
    case "blocked":
      return `${hinge} can't swing ${way}: block ${a + 1} would run into block ${b + 1}`;
    case "no pose":
      return `${hinge} can't fold ${way} in this pose`;
  }
}

/** As in "hinges at corners (1, 2) low and (3, 0) high". */
export function hingeWords(pins: readonly PinPlace[], levels: number, [ox, oy]: Origin): string {
  if (pins.length === 0) return "no hinges";
  const told = pins.map(([x, y, level]) => `(${x - ox}, ${y - oy}) ${levelWords(level, levels)}`.trim());
  return `${pins.length === 1 ? "hinge at corner" : "hinges at corners"} ${listed(told)}`;
}
