// Layouts as the server tells them, for drawing and stepping through.
import type { ProjectView } from "../wire";

export interface PieceIn {
  piece: string;
  cells: [number, number][];
  pins: [number, number, number][];
  swings?: { hinge: number; blocks: number[]; turn: string }[] | null;
}

export interface Layout {
  foldings?: number;
  drop_in: string[] | null;
  interlocked: string[] | null;
  pieces: PieceIn[];
  empty: [number, number][];
}

export interface Filled {
  different: number;
  layouts: number;
  foldings: number;
  drop_in_layouts: number | null;
  complete: boolean;
  stopped: string | null;
  seconds: number;
  answers: Layout[];
}

/** Position, letter and colour of a piece of the set by its name. */
export function lookOf(project: ProjectView, name: string): { position: number; letter: string; colour: string } {
  const position = project.placed.findIndex((p) => p.name === name);
  const placed = project.placed[position];
  return { position: Math.max(0, position), letter: placed?.letter ?? "?", colour: placed?.colour ?? "#888888" };
}

/** The names in drop-in order; of an interlocked layout, as they stand. */
export function orderOf(layout: Layout): string[] {
  return layout.drop_in ?? layout.pieces.map((p) => p.piece);
}

/** The lines between a set of cells and what is not of it: the wall of an opening, the seam of a piece. */
export function rim(cells: ReadonlySet<string>): string {
  let path = "";
  for (const k of cells) {
    const [x, y] = k.split(",").map(Number) as [number, number];
    if (!cells.has(`${x},${y - 1}`)) path += `M${x} ${-y}h1`;
    if (!cells.has(`${x},${y + 1}`)) path += `M${x} ${-y - 1}h1`;
    if (!cells.has(`${x - 1},${y}`)) path += `M${x} ${-y}v-1`;
    if (!cells.has(`${x + 1},${y}`)) path += `M${x + 1} ${-y}v-1`;
  }
  return path;
}

export const counted = (n: number, one: string, many = `${one}s`): string => `${n} ${n === 1 ? one : many}`;
