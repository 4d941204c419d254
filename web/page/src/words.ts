// Places in words, as on the drawings: columns and rows are counted from 1 at
// the lower left; a corner is (x, y) lines from there.

import type { Place } from "@pinfold/core";

/** The lower left corner of the board. */
export type Origin = Place;

export function cellWords([x, y]: Place, [ox, oy]: Origin): string {
  return `column ${x - ox + 1}, row ${y - oy + 1}`;
}

export function cornerWords([x, y]: Place, [ox, oy]: Origin): string {
  return `corner (${x - ox}, ${y - oy})`;
}

/** "a", "a and b", "a, b and c". */
export function listed(words: readonly string[]): string {
  const last = words.at(-1) ?? "";
  return words.length < 2 ? last : `${words.slice(0, -1).join(", ")} and ${last}`;
}
