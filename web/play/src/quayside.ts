// For tests: two pieces and an outline from the demo project.

import type { HingeRecord, PieceRecord, Place, SetRecord } from "@pinfold/core";
import type { PlayedOutline } from "@pinfold/page/data.ts";

const hinge = (x: number, y: number, a: number, b: number, level: number): HingeRecord => ({
  pin: [x, y],
  joins: [a, b],
  level,
});

export const cleat: PieceRecord = {
  blocks: [[0, 0], [1, 0], [2, 0], [2, 1]],
  hinges: [hinge(1, 1, 0, 1, 0), hinge(2, 0, 1, 2, 1), hinge(3, 1, 2, 3, 0)],
  rigid: false,
};

export const fender: PieceRecord = {
  blocks: [[0, 0], [1, 0], [1, 1], [0, 1]],
  hinges: [hinge(1, 0, 0, 1, 0), hinge(2, 1, 1, 2, 0), hinge(1, 2, 2, 3, 1)],
  rigid: false,
};

export const set: SetRecord = {
  levels: 2,
  turn_over: false,
  interlocked: false,
  reach: "swings",
  sizes: { pitch: 15, gap: 0.3, knuckle: 3, clearance: 0.3 },
  pieces: [cleat, fender],
};

const cells = (width: number, height: number): Place[] =>
  Array.from({ length: width * height }, (_, i) => [i % width, Math.floor(i / width)]);

const edge = (width: number, height: number): Place[] =>
  Array.from({ length: (width + 1) * (height + 1) }, (_, i): Place => [i % (width + 1), Math.floor(i / (width + 1))])
    .filter(([x, y]) => x === 0 || y === 0 || x === width || y === height);

/** Eight cells with a pocket at every edge vertex. */
export const basin: PlayedOutline = {
  name: "basin",
  title: "Basin",
  number: 1,
  grade: null,
  cells: cells(4, 2),
  pockets: edge(4, 2),
  spare: 0,
};

/** The same cells without any pocket. */
export const walled: PlayedOutline = { ...basin, name: "walled", title: "Walled", pockets: [] };
