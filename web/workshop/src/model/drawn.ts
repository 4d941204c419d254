// An outline being drawn: cells and pockets as sets of spots, and what a brush
// does to them. Which vertices bear a pocket is for the core to say.
import type { Opening } from "../wire";
import { walls } from "./rules";

export type Spot = readonly [number, number];

/** What is drawn; never changed, only replaced. */
export interface Drawn {
  readonly title: string;
  readonly spare: number;
  readonly cells: ReadonlySet<string>;
  readonly pockets: ReadonlySet<string>;
}

export const key = (x: number, y: number): string => `${x},${y}`;
export const spot = (key: string): Spot => {
  const at = key.indexOf(",");
  return [Number(key.slice(0, at)), Number(key.slice(at + 1))];
};

/** The spots of a set, in the order of the lattice. */
export function spots(set: ReadonlySet<string>): [number, number][] {
  return [...set].map((k) => [...spot(k)] as [number, number]).sort((a, b) => a[0] - b[0] || a[1] - b[1]);
}

export function drawnOf(title: string, opening: Opening, shift: Spot = [0, 0]): Drawn {
  const set = (list: readonly (readonly number[])[]) =>
    new Set(list.map((s) => key((s[0] ?? 0) + shift[0], (s[1] ?? 0) + shift[1])));
  return { title, spare: opening.spare ?? 0, cells: set(opening.cells), pockets: set(opening.pockets) };
}

export function openingOf(drawn: Drawn): Opening {
  return { cells: spots(drawn.cells), pockets: spots(drawn.pockets), spare: drawn.spare };
}

/** The pockets that still stand at a wall. */
export function kept(cells: ReadonlySet<string>, pockets: ReadonlySet<string>): Set<string> {
  if (pockets.size === 0) return new Set();
  const edge = walls(cells);
  return new Set([...pockets].filter((k) => edge.has(k)));
}

/** What was drawn against what was wished for. */
export function difference(cells: ReadonlySet<string>, wish: ReadonlySet<string>): { added: [number, number][]; left_out: [number, number][] } {
  const less = (a: ReadonlySet<string>, b: ReadonlySet<string>) => spots(new Set([...a].filter((k) => !b.has(k))));
  return { added: less(cells, wish), left_out: less(wish, cells) };
}

export const SYMMETRIES = {
  none: "no symmetry",
  sides: "mirrored left and right",
  ends: "mirrored top and bottom",
  both: "mirrored both ways",
  diagonal: "mirrored in the diagonal",
  half: "half turn",
  quarter: "quarter turns",
} as const;
export type Symmetry = keyof typeof SYMMETRIES;

/** The axis of a symmetric brush, in half cells. */
export interface Axis {
  readonly x2: number;
  readonly y2: number;
}

/** The middle of what is drawn, or of the board where nothing is. */
export function axisOf(cells: ReadonlySet<string>, width: number, height: number): Axis {
  if (cells.size === 0) return { x2: width, y2: height };
  const all = [...cells].map(spot);
  const xs = all.map((s) => s[0]);
  const ys = all.map((s) => s[1]);
  return { x2: Math.min(...xs) + Math.max(...xs) + 1, y2: Math.min(...ys) + Math.max(...ys) + 1 };
}

/** Where a stroke at a cell (or at a vertex) also goes. */
export function images(symmetry: Symmetry, axis: Axis, [x, y]: Spot, vertex: boolean): Spot[] {
  // Twice the middle of the cell, or of the vertex, against the axis.
  const half = vertex ? 0 : 1;
  // Turns and diagonals need an axis in the middle of a cell or at a vertex.
  const turning = symmetry === "quarter" || symmetry === "diagonal";
  const y2 = turning && (axis.x2 + axis.y2) % 2 !== 0 ? axis.y2 + 1 : axis.y2;
  const [u, v] = [2 * x + half - axis.x2, 2 * y + half - y2];
  const all: [number, number][] = [[u, v]];
  if (symmetry === "sides" || symmetry === "both") all.push([-u, v]);
  if (symmetry === "ends" || symmetry === "both") all.push([u, -v]);
  if (symmetry === "both" || symmetry === "half" || symmetry === "quarter") all.push([-u, -v]);
  if (symmetry === "quarter") all.push([-v, u], [v, -u]);
  if (symmetry === "diagonal") all.push([v, u]);
  const seen = new Map(all.map(([a, b]) => [key((a + axis.x2 - half) / 2, (b + y2 - half) / 2), [a, b]]));
  return [...seen.keys()].map(spot);
}

/** Cells drawn or rubbed out; pockets without a wall go. */
export function paint(drawn: Drawn, at: readonly Spot[], on: boolean): Drawn {
  const cells = new Set(drawn.cells);
  for (const [x, y] of at) on ? cells.add(key(x, y)) : cells.delete(key(x, y));
  if (cells.size === drawn.cells.size && [...cells].every((k) => drawn.cells.has(k))) return drawn;
  return { ...drawn, cells, pockets: kept(cells, drawn.pockets) };
}

/** Pockets set or taken away, where there is a wall. */
export function setPockets(drawn: Drawn, at: readonly Spot[], on: boolean): Drawn {
  const pockets = new Set(drawn.pockets);
  for (const [x, y] of at) {
    if (on && walls(drawn.cells).has(key(x, y))) pockets.add(key(x, y));
    if (!on) pockets.delete(key(x, y));
  }
  return { ...drawn, pockets };
}

/** Every spot moved alike. */
export function shifted(drawn: Drawn, dx: number, dy: number): Drawn {
  const move = (set: ReadonlySet<string>) => new Set([...set].map(spot).map(([x, y]) => key(x + dx, y + dy)));
  return { ...drawn, cells: move(drawn.cells), pockets: move(drawn.pockets) };
}

export function alike(a: Drawn, b: Drawn): boolean {
  const same = (p: ReadonlySet<string>, q: ReadonlySet<string>) => p.size === q.size && [...p].every((k) => q.has(k));
  return a.title === b.title && a.spare === b.spare && same(a.cells, b.cells) && same(a.pockets, b.pockets);
}

/** Two changes of one drawing put together: of each spot, title and figure the one that was changed. */
export function together(base: Drawn, mine: Drawn, theirs: Drawn): Drawn {
  const merge = (b: ReadonlySet<string>, m: ReadonlySet<string>, t: ReadonlySet<string>) => {
    const all = new Set([...b, ...m, ...t]);
    return new Set([...all].filter((k) => (m.has(k) === b.has(k) ? t.has(k) : m.has(k))));
  };
  const cells = merge(base.cells, mine.cells, theirs.cells);
  return {
    title: mine.title === base.title ? theirs.title : mine.title,
    spare: mine.spare === base.spare ? theirs.spare : mine.spare,
    cells,
    pockets: kept(cells, merge(base.pockets, mine.pockets, theirs.pockets)),
  };
}
