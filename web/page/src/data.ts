// What the page is told of the set, as crates/play writes it into the page.

import type { Place, SetRecord } from "@pinfold/core";

/** How a piece is drawn: paths about the centre of a block, y down. */
export interface Art {
  name: string;
  letter: string;
  colour: string;
  ink: string;
  pattern: string;
  /** The plan of each block as it lies at home. */
  blocks: string[];
  hatching: string;
  hatching_ink: string;
  weight: number;
  glyph: string;
  patch: number;
}

export interface PlayedOutline {
  name: string;
  title: string;
  number: number | null;
  grade: string | null;
  cells: Place[];
  pockets: Place[];
  spare: number;
}

/** What every page about a set is told. */
export interface Told {
  version: 1;
  title: string;
  set: SetRecord;
  /** Units to a pitch. */
  unit: number;
  art: Art[];
  outlines: PlayedOutline[];
}

export interface Data extends Told {
  /** A knuckle's radius in units. */
  knuckle: number;
  /** The path that plays are sent to, if the workshop serves the page. */
  send: string | null;
}

/** The data in a page that `writer` writes; throws a sentence for people if they are not there. */
export function dataOf<D extends Told = Data>(text: string, writer = "pinfold play"): D {
  const data = JSON.parse(text) as D | null;
  if (data === null) throw new Error(`This page has no set in it: \`${writer}\` writes one that has.`);
  if (data.version !== 1) throw new Error("This page was written by another version of Pinfold.");
  return data;
}

/** An outline as a choice: its number, title and grade. */
export function titleOf({ number, title, grade }: PlayedOutline): string {
  return `${number === null ? "" : `${number}. `}${title}${grade === null ? "" : ` (${grade})`}`;
}

/** The bytes that a text in base 64 stands for. */
export function bytesOf(base64: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
}
