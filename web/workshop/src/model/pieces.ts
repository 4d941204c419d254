// Pieces as drawn, and geometry for drawing them. What a piece may do is asked
// of the server; here is only where things stand on the page.
import type { PieceView } from "../wire";

export type Piece = PieceView;

/** Seven patterns that tell pieces apart without colour, in a fixed round. */
export const PATTERNS = ["stripes", "dots", "grid", "waves", "backstripes", "rings", "plain"] as const;
export type Pattern = (typeof PATTERNS)[number];
export const patternOf = (position: number): Pattern => PATTERNS[position % PATTERNS.length] as Pattern;

/** The box round some cells: least x, least y, width, height. */
export function box(cells: readonly (readonly number[])[]): [number, number, number, number] {
  if (cells.length === 0) return [0, 0, 1, 1];
  const xs = cells.map((c) => c[0] ?? 0);
  const ys = cells.map((c) => c[1] ?? 0);
  const [x, y] = [Math.min(...xs), Math.min(...ys)];
  return [x, y, Math.max(...xs) - x + 1, Math.max(...ys) - y + 1];
}

/** Blocks that have a corner at a vertex. */
export function blocksAt(piece: Piece, x: number, y: number): number[] {
  const near = (d: number) => d >= 0 && d <= 1;
  return piece.blocks.flatMap((b, i) => (near(x - (b[0] ?? 0)) && near(y - (b[1] ?? 0)) ? [i] : []));
}

/** The piece without a block: hinges of that block go, later blocks move up. */
export function withoutBlock(piece: Piece, block: number): Piece {
  const hinges = piece.hinges
    .filter((h) => !h.joins.includes(block))
    .map((h) => ({ ...h, joins: h.joins.map((b) => (b > block ? b - 1 : b)) }));
  return { ...piece, blocks: piece.blocks.filter((_, i) => i !== block), hinges };
}

/** Black or white, whichever is read better on a colour. */
export function inkOn(colour: string): string {
  const part = (i: number) => {
    const v = parseInt(colour.slice(i, i + 2), 16) / 255;
    return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
  };
  const light = 0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5);
  return light > 0.179 ? "#101418" : "#ffffff";
}
