// The bounding box of cells.

import type { Place } from "@pinfold/core";

export interface Bounds {
  x: number;
  y: number;
  width: number;
  height: number;
}

/** The bounding box of cells. */
export function boundsOf(cells: readonly Place[]): Bounds {
  const xs = cells.map((c) => c[0]);
  const ys = cells.map((c) => c[1]);
  const [x, y] = [Math.min(...xs), Math.min(...ys)];
  return { x, y, width: Math.max(...xs) + 1 - x, height: Math.max(...ys) + 1 - y };
}
