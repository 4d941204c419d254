// Where board, mat and tray lie on the page. In pitches, from the upper left,
// y down. Either all stand one under the other or the board stands on the left:
// whichever lets the pitch be larger.

import type { Bounds } from "@pinfold/page/bounds.ts";

export interface Box {
  x: number;
  y: number;
  width: number;
  height: number;
}

export interface Layout {
  width: number;
  height: number;
  /** Pixels a pitch. */
  pitch: number;
  /** Where the board's lower left lattice corner is drawn. */
  origin: { x: number; y: number };
  mat: Box;
  /** One a piece. */
  berths: Box[];
}

/** Round the board: room for the wall and for the numbers of rows and columns. */
const WALL = 0.6;
const NUMBERS = 0.55;
const RIM = 0.15;
const GAP = 0.35;
const LARGEST_BERTH = 2.3;
const SMALLEST_BERTH = 1.3;
const SHORT_MAT = 4.3;
/** No larger than this, in pixels: a table, not a poster. */
const LARGEST_PITCH = 84;
/** Nor smaller, so that fingers hit: then the page is longer than its window. */
const SMALLEST_PITCH = 37;

/** The largest square berths, so that all fit in a box of this width and at least this height. */
function berths(count: number, width: number, height: number): { side: number; columns: number; height: number } {
  const fits = (side: number) => {
    const columns = Math.max(1, Math.floor(width / side));
    return { side, columns, height: Math.ceil(count / columns) * side };
  };
  for (let side = LARGEST_BERTH; side >= SMALLEST_BERTH; side -= 0.1) {
    const found = fits(side);
    if (found.height <= height) return found;
  }
  return fits(SMALLEST_BERTH);
}

export function layout(board: Bounds, pieces: number, matSide: number, space: { width: number; height: number }): Layout {
  const boardWidth = board.width + NUMBERS + 2 * WALL + RIM;
  const boardHeight = board.height + NUMBERS + 2 * WALL + RIM;
  const origin = { x: NUMBERS + WALL, y: RIM + WALL + board.height };

  const stacked = ((): Omit<Layout, "pitch"> => {
    // Height is what a phone has least of: long folds are drawn smaller there.
    const side = Math.min(matSide, SHORT_MAT);
    const width = Math.max(boardWidth, side + GAP + 2 * SMALLEST_BERTH + RIM);
    const tray = berths(pieces, width - side - GAP - RIM, side);
    const top = boardHeight + GAP;
    return {
      width,
      height: top + Math.max(side, tray.height) + RIM,
      origin: { ...origin, x: origin.x + (width - boardWidth) / 2 },
      mat: { x: RIM, y: top, width: side, height: side },
      berths: grid(pieces, tray, RIM + side + GAP, top),
    };
  })();
  const beside = ((): Omit<Layout, "pitch"> => {
    const left = boardWidth + GAP;
    const height = Math.max(boardHeight, matSide + GAP + SMALLEST_BERTH + 2 * RIM);
    const tray = berths(pieces, matSide, height - matSide - GAP - 2 * RIM);
    return {
      width: left + matSide + RIM,
      height: Math.max(height, matSide + GAP + tray.height + 2 * RIM),
      origin,
      mat: { x: left, y: RIM, width: matSide, height: matSide },
      berths: grid(pieces, tray, left, RIM + matSide + GAP),
    };
  })();
  const pitch = (of: Omit<Layout, "pitch">) => {
    const wide = space.width / of.width;
    return Math.max(Math.min(LARGEST_PITCH, wide, space.height / of.height), Math.min(SMALLEST_PITCH, wide));
  };
  const best = pitch(beside) > pitch(stacked) ? beside : stacked;
  return { ...best, pitch: pitch(best) };
}

function grid(count: number, { side, columns }: { side: number; columns: number }, x: number, y: number): Box[] {
  return Array.from({ length: count }, (_, i) => ({
    x: x + (i % columns) * side,
    y: y + Math.floor(i / columns) * side,
    width: side,
    height: side,
  }));
}
