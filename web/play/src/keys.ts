// What a key does to the piece that has the focus.

import type { Place } from "@pinfold/core";
import type { Done, Table } from "./table.ts";

const ARROWS: Record<string, Place> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, 1],
  ArrowDown: [0, -1],
};

type Key = Pick<KeyboardEvent, "key" | "code" | "shiftKey" | "altKey" | "ctrlKey" | "metaKey">;

/** None if the key means nothing here. */
export function actionOf(event: Key, piece: number): ((table: Table) => Done) | null {
  if (event.altKey || event.metaKey || event.ctrlKey) return null;
  const step = ARROWS[event.key];
  if (step !== undefined) return (t) => t.nudge(piece, ...step);
  // By its place on the keyboard: with Shift the key says something else.
  const digit = /^(?:Digit|Numpad)([1-9])$/.exec(event.code)?.[1];
  if (digit !== undefined) return (t) => t.tap(piece, Number(digit) - 1, event.shiftKey);
  switch (event.key) {
    case "Enter":
    case " ":
      return (t) => (t.selected === piece && t.spots[piece]?.where === "over" ? t.lay(piece) : t.select(piece));
    case "Escape":
    case "Backspace":
    case "Delete":
      return (t) => t.putBack(piece);
    case "r":
      return (t) => t.turn(piece, 3);
    case "R":
      return (t) => t.turn(piece, 1);
    case "f":
    case "F":
      return (t) => t.turnOver(piece);
    default:
      return null;
  }
}
