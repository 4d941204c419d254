// The records that the core asks for and answers with, as crates/browser reads
// and writes them. Cells and vertices are [x, y], pins [x, y, level]; x points
// right, y up.

export type Place = [number, number];
export type PinPlace = [number, number, number];
/** [mirrored 0 or 1, quarter turns anticlockwise, dx, dy]. */
export type Motion = [number, number, number, number];
/** One motion a body. */
export type Pose = Motion[];

export interface HingeRecord {
  pin: Place;
  joins: [number, number];
  level: number;
}

export interface PieceRecord {
  blocks: Place[];
  hinges: HingeRecord[];
  rigid: boolean;
  /** Under the rule "planned": a pose for each fold that motions of several hinges reach. */
  poses?: Pose[];
}

export interface SetRecord {
  levels: number;
  turn_over: boolean;
  interlocked: boolean;
  reach: "swings" | "planned" | "any";
  sizes: { pitch: number; gap: number; knuckle: number; clearance: number };
  pieces: PieceRecord[];
  /** The letters that stand for the pieces in writing; without them A, B, C, …. */
  letters?: string;
}

export interface OutlineRecord {
  cells?: Place[];
  pockets?: Place[];
  /** Instead of cells and pockets. */
  drawing?: string;
  spare?: number;
}

export interface Placed {
  piece: number;
  pose: Pose;
}

export interface OutlineFacts {
  cells: Place[];
  pockets: Place[];
  spare: number;
  inside: Place[];
  edge: Place[];
  /** Left, lower, width, height. */
  bounds: [number, number, number, number];
  parts: number;
  rotations: number;
}

export interface FoldFacts {
  cells: Place[];
  pins: PinPlace[];
  pose: Pose;
  /** Swings from home; null if swings do not reach it. */
  distance: number | null;
}

export interface Folds {
  folds: FoldFacts[];
  shapes: number;
  reached: number;
}

export interface Move {
  hinge: number;
  /** 1 anticlockwise, 3 clockwise, of the blocks that move. */
  turn: 1 | 3;
  moving: number[];
  after: Pose | null;
  how: "swing" | "through" | "together" | "partner" | "blocked" | "no pose";
  meet: [number, number] | null;
}

export type FaultKind =
  | "count"
  | "torn"
  | "turned over"
  | "outside"
  | "overlap"
  | "pins meet"
  | "no pocket"
  | "empty"
  | "not reached"
  /** Told by pages: a hinge of another piece stands over one of its own. */
  | "under";

export interface Fault {
  kind: FaultKind;
  piece?: number;
  cell?: Place;
  at?: Place;
  says: string;
}

export interface Lay {
  faults: Fault[];
  /** Pieces with a hinge over one of this piece's. */
  under: number[];
}

export interface Judgement {
  fills: boolean;
  faults: Fault[];
  /** Positions in the question. */
  drop_in: number[] | null;
  interlocked: number[] | null;
  footprint: Place[];
  code: string | null;
}

export type WrittenFaultKind =
  | "blocks"
  | "empty"
  | "torn"
  | "no fold"
  | "turned over"
  | "not reached"
  | "walled"
  | "hinges meet"
  | "interlocked";

export interface WrittenFault {
  kind: WrittenFaultKind;
  pieces: number[];
  cells: Place[];
  at: Place[];
  says: string;
}

/** `[x, y, piece]`. */
export type Covered = [number, number, number];

/** A written layout, read and judged. */
export interface Written {
  /** Slips of the hand; with any, there is nothing else. */
  misread: string[];
  covered: Covered[];
  rows: string | null;
  short: string | null;
  accepted: boolean;
  faults: WrittenFault[];
  code: string | null;
}

/** Exact while a number can hold it, then digits. */
export type Count = number | string;

export interface Budget {
  milliseconds?: number;
  looks?: number;
}

export interface Answer {
  placed: Placed[];
  foldings: Count;
  drop_in: number[] | null;
  interlocked: number[] | null;
}

export interface Counts {
  different: Count;
  layouts: Count;
  foldings: Count;
  drop_in_layouts: Count | null;
  /** "complete": exact; else at least so many. */
  certainty: "complete" | "limit" | "stopped";
  answers: Answer[];
}

export interface PocketSet {
  pockets: Place[];
  same_size: number;
  proven: boolean;
  bound: number;
  blind: Place[];
  /** [x, y, essentially different layouts that a pocket there would let in]. */
  further: [number, number, number][];
  answer: Answer;
}

export interface Pockets {
  layouts_open: number;
  different_open: number;
  complete: boolean;
  smallest: PocketSet | null;
  largest: PocketSet | null;
}

/** What is drawn: not yet an outline. */
export interface LiveQuestion {
  cells: Place[];
  pockets: Place[];
  spare?: number;
  /** Also look for the most pockets, which lists every layout. */
  thorough?: boolean;
  budget?: Budget;
}

export interface Advised {
  pockets: Place[];
  blind: Place[];
  proven: boolean;
  same_size: number;
}

export interface Live {
  cells: number;
  blocks: number;
  missing: number;
  parts: number;
  notes: string[];
  filling: {
    different: Count;
    layouts: Count;
    foldings: Count;
    drop_in_layouts: Count | null;
    complete: boolean;
    unique: boolean | null;
    /** Pieces by their positions in the set. */
    layout: {
      pieces: { piece: number; cells: Place[]; pins: PinPlace[] }[];
      drop_in: number[] | null;
      interlocked: number[] | null;
      empty: Place[];
    } | null;
  } | null;
  advice: {
    layouts_open: number;
    different_open: number;
    complete: boolean;
    smallest: Advised | null;
    largest: Advised | null;
    sought_largest: boolean;
  } | null;
}
