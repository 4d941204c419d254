// Answers of the commands that find, grade and foretell, as far as the pages show them.
import type { Opening } from "../wire";
import { Refused, type Watched, begin } from "./server";
import type { JobView, Problem } from "../wire";

export interface Find {
  rank: number;
  drawing: string;
  code: string;
  width: number;
  height: number;
  layouts: number;
  different: number;
  complete: boolean;
  pockets: [number, number][] | null;
  smallest_size: number | null;
  smallest_proven: boolean | null;
  largest: [number, number][] | null;
  largest_size: number | null;
  score: number;
  terms: { name: string; weight: number; value: number }[];
  notes: string[];
}

export interface Scouted {
  looked_at: number;
  found: number;
  complete: boolean;
  finds: Find[];
  notes: string[];
  /** Of a picture: how it was laid on the lattice, and whether that can be filled. */
  pictures?: { wish: { cells: [number, number][]; likeness: number; added: unknown[]; missed: unknown[] } | null; fate: string; why: string | null }[];
}

export interface Graded {
  outline: string;
  title: string;
  grade: string | null;
  effort: number | null;
  effort_interval?: [number, number] | null;
  minutes: { calibrated: boolean; median: number; interval: [number, number] } | null;
  evidence: { sentences: string[] } | null;
  why?: string;
}

export interface PackOrder {
  pack: string;
  audience?: string | null;
  in_the_file?: { order: string[]; terms: Record<string, number> };
  proposed: { order: string[]; terms: Record<string, number>; proven: boolean } | null;
  outlines?: { outline: string; title: string; grade: string; effort: number; fixed: boolean; like_the_next: number | null }[];
  why?: string;
}

export interface Estimate {
  low: number;
  median: number;
  high: number;
}

export interface PlaysTold {
  tries: number;
  basis?: unknown;
  outlines: { outline: string; title: string; sittings: number; finished: number; alone: number | null; longer_than: number | null; minutes: Estimate | null; new_tester: Estimate | null }[];
  testers: { tester: string; sittings: number; finished: number; pace: Estimate | null }[];
  foretold?: { held: number; of: number };
}

/** The cells and pockets of a drawing as text: rows of vertices and cells in turn. */
export function openingOfDrawing(drawing: string): Opening {
  const rows = drawing.split("\n").map((line) => line.replace(/\s/g, "")).filter((line) => line !== "");
  const height = (rows.length - 1) / 2;
  const cells: [number, number][] = [];
  const pockets: [number, number][] = [];
  rows.forEach((row, r) => {
    const y = height - Math.floor(r / 2);
    [...row].forEach((mark, x) => {
      if (mark === "#") cells.push([x, y - 1]);
      if (mark === "o") pockets.push([x, y]);
    });
  });
  return { cells, pockets, spare: 0 };
}

/** Puts a question that takes long; its answer (so far, if it was ended), or what was refused as an error. */
export async function ask<T>(order: Record<string, unknown>, tell: (view: JobView | null, watched: Watched | null) => void): Promise<T | null> {
  let watched: Watched | null = null;
  watched = await begin(order, (view) => tell(view, watched));
  tell(null, watched);
  const over = await watched.over;
  if (over.stage === "cancelled") return (over.result as T | undefined) ?? null;
  if (over.problem) throw new Refused(over.problem as unknown as Problem);
  return over.result as T;
}

/** Minutes as people say them. */
export function spelt(minutes: number): string {
  if (minutes < 1) return `${Math.max(1, Math.round(minutes * 60))} s`;
  if (minutes < 100) return `${Math.round(minutes)} min`;
  if (minutes < 48 * 60) return `${Math.round(minutes / 60)} h`;
  return `${Math.round(minutes / 1440)} days`;
}
