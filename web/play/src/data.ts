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

export interface Data {
  version: 1;
  title: string;
  set: SetRecord;
  /** Units to a pitch, and a knuckle's radius in them. */
  unit: number;
  knuckle: number;
  art: Art[];
  outlines: PlayedOutline[];
  /** The path that plays are sent to, if the workshop serves the page. */
  send: string | null;
}

/** The data in the page; throws a sentence for people if they are not there. */
export function dataOf(text: string): Data {
  const data = JSON.parse(text) as Data | null;
  if (data === null) throw new Error("This page has no set in it: `pinfold play` writes one that has.");
  if (data.version !== 1) throw new Error("This page was written by another version of Pinfold.");
  return data;
}

/** The bytes that a text in base 64 stands for. */
export function bytesOf(base64: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
}
