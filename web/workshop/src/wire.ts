// What the server and the pages say to each other. Made from the server's code by
// its test `wire`: not to be changed by hand.

/** Pockets that leave one layout. */
export interface AdviceView {
  /** Whether all of them were looked at. */
  complete: boolean;
  /** Essentially different ones among them. */
  different_open: number;
  largest?: PocketsView | null;
  /** Layouts with a pocket everywhere; at least so many if not complete. */
  layouts_open: number;
  smallest?: PocketsView | null;
  /** Whether the most were looked for to the end. */
  sought_largest: boolean;
}

/** One body. */
export interface BodyView {
  /** Its colour. */
  colour: string;
  /** Three coordinates a point. */
  points: number[];
  /** Three positions of points a triangle, anticlockwise from outside. */
  triangles: number[];
}

/** A drawing of a piece. */
export interface Drawn {
  piece: PieceView;
}

/** Fillings of what is drawn. */
export interface FillingView {
  /** The first layout, as `fill --json` tells it. */
  answer?: Record<string, unknown> | null;
  /** Whether the numbers are exact; else there are at least so many. */
  complete: boolean;
  /** Essentially different layouts. */
  different: number;
  /** Layouts that drop in. */
  drop_in_layouts?: number | null;
  /** Foldings. */
  foldings: number;
  /** Layouts. */
  layouts: number;
  /** Whether there is exactly one essentially different layout, and it is valid; none while that is not known. */
  unique?: boolean | null;
}

/** A hinge of a piece at home. */
export interface HingeView {
  /** The two blocks it ties, by their positions. */
  joins: number[];
  /** Its level, 0 the lowest. */
  level: number;
  /** The vertex where its pin stands. */
  pin: number[];
}

/** A job as told to the pages. */
export interface JobView {
  /** What it is about. */
  about: string;
  /** Of so many; 0 while that is not known. */
  all: number;
  /** Parts of the work that are done. */
  done: number;
  /** What was found since this was told the last time, as in the result: of scouting. */
  found?: (Record<string, unknown>)[];
  /** Its number. */
  id: number;
  /** What it does, in a word. */
  kind: string;
  /** Why it failed. */
  problem?: Record<string, unknown> | null;
  /** What the command of that name answers with `--json`. */
  result?: Record<string, unknown> | null;
  /** How far it is. */
  stage: Stage;
}

/** What is known in the time given. */
export interface LiveAnswer {
  advice?: AdviceView | null;
  /** Blocks of the set. */
  blocks: number;
  /** Cells drawn. */
  cells: number;
  filling?: FillingView | null;
  /** Milliseconds that the answer took. */
  milliseconds: number;
  /** Cells that are missing (above 0) or too many (below 0) for the set. */
  missing: number;
  /** What there is to say, in sentences. */
  notes: string[];
  /** Parts that hang together. */
  parts: number;
  /** A newer question came: this one was not answered. */
  superseded: boolean;
  wish?: WishView | null;
}

/** A piece that is being drawn, and which of its folds to go to. */
export interface Look {
  /** The piece, sound or not. */
  piece: PieceView;
  /** The fold whose way from home is wanted, by its number from 1. */
  way?: number | null;
}

/** An outline: the opening and its pockets. */
export interface Opening {
  /** The cells to be filled. */
  cells: number[][];
  /** The vertices on its edge that have a pocket. */
  pockets: number[][];
  /** How many cells stay empty. */
  spare?: number;
}

/** A piece of long work that is asked for. */
export type Order = {
  /** How many layouts to show. */
  answers?: number;
  kind: "fill";
  /** End after so many essentially different layouts. */
  limit?: number | null;
  /** As if with a pocket everywhere. */
  open?: boolean;
  /** The outline. */
  opening: Opening;
  /** What the outline is called. */
  title?: string;
  /** Also layouts that are turns of each other. */
  turns?: boolean;
} | {
  kind: "pockets";
  /** The layout to leave, by its number from 1 with a pocket everywhere. */
  layout?: number | null;
  /** The outline; its own pockets do not matter. */
  opening: Opening;
  /** What the outline is called. */
  title?: string;
} | {
  kind: "make";
  /** Names of parts; all of them if there are none. */
  parts?: string[];
  /** STL beside 3MF. */
  stl?: boolean;
  /** Whether to put the files into the project's folder `out`, too. */
  write?: boolean;
} | {
  /** From where, and for how long. */
  how: Scouting;
  kind: "scout";
} | {
  kind: "grade";
  /** Names of outlines; all of them if there are none. */
  outlines?: string[];
} | {
  kind: "packs";
  /** The name of a pack; all of them if there is none. */
  pack?: string | null;
} | {
  kind: "plays";
} | {
  kind: "next";
  /** The tester. */
  tester: string;
} | {
  /** How many start. */
  entrants: number;
  kind: "forecast";
  /** The name of the pack. */
  pack: string;
};

/** What an outline is to be. */
export interface OutlineDraft {
  /** Cells, pockets, spare. */
  opening: Opening;
  /** What it is called in print. */
  title: string;
}

/** An outline's file. */
export interface OutlineView {
  /** The digest of the file, as its entity tag has it. */
  digest: string;
  /** Its printed grade. */
  grade?: string | null;
  /** Its file's name without the ending. */
  name: string;
  /** A remark for the maker. */
  note?: string | null;
  /** Its printed number. */
  number?: number | null;
  /** Cells, pockets, spare; the lower left vertex of the drawing is (0, 0). */
  opening: Opening;
  /** What it is called in print. */
  title: string;
}

/** The order that a pack is to have. */
export interface PackDraft {
  /** Each of its outlines once. */
  outlines: string[];
}

/** A pack. */
export interface PackView {
  /** Its name. */
  name: string;
  /** Its outlines in order. */
  outlines: string[];
}

/** What there is to make. */
export interface PartsView {
  /** Parts that every project has. */
  fixed: string[];
  /** Names of pieces. */
  pieces: string[];
  /** Names of outlines: each has a plate. */
  plates: string[];
}

/** A piece as drawn. */
export interface PieceView {
  /** The cells of its blocks at home. */
  blocks: number[][];
  /** Its colour, `#` and six hexadecimal digits. */
  colour: string;
  /** How often the set has it. */
  copies: number;
  /** Its hinges at home. */
  hinges: HingeView[];
  /** Its name, fit for a file name. */
  name: string;
  /** Whether all its blocks are one solid body. */
  rigid: boolean;
}

/** All pieces of a set as they are to be. */
export interface PiecesDraft {
  /** By name: those there are changed, others added, what is missing taken out. */
  pieces: PieceView[];
}

/** The pieces of the set, with the digest of the set's file. */
export interface PiecesView {
  /** The digest of `pinfold.toml`, as its entity tag has it. */
  digest: string;
  /** In the file's order. */
  pieces: PieceView[];
}

/** A piece of the set as layouts name it. */
export interface PlacedView {
  /** Its colour. */
  colour: string;
  /** Its letter in pictures. */
  letter: string;
  /** Its name, with a number where it comes in copies. */
  name: string;
}

/** A pocket set that leaves one layout. */
export interface PocketsView {
  /** Those that no folding of the layout left uses. */
  blind: number[][];
  /** The pockets. */
  pockets: number[][];
  /** Whether no better size exists. */
  proven: boolean;
  /** Sets of this size that do as well. */
  same_size: number;
}

/** Why a request was not done. */
export interface Problem {
  /** What is on the disk, where that is not what the request thought. */
  current?: Record<string, unknown> | null;
  /** What is wrong here, in one sentence. */
  detail: string;
  /** Each mistake with its file, line, column, message and mend. */
  errors?: (Record<string, unknown>)[] | null;
  /** What would be right. */
  mend?: string | null;
  /** The status. */
  status: number;
  /** What the status means. */
  title: string;
  /** Always `about:blank`: the status says what kind of problem it is. */
  type: string;
}

/** The project in brief. */
export interface ProjectView {
  /** Blocks of all pieces, copies counted. */
  blocks: number;
  /** The digest of `pinfold.toml`: what a change of packs or pieces must have seen. */
  digest: string;
  /** Which folds count, as a sentence. */
  folds_used: string;
  /** Whether layouts that cannot be dropped in count. */
  interlocked: boolean;
  /** Levels in a block's height. */
  levels: number;
  /** The outlines by name. */
  outlines: OutlineView[];
  /** The packs in the file's order. */
  packs: PackView[];
  /** The pieces as drawn. */
  pieces: PieceView[];
  /** The pieces as placed, copies one by one: name, letter, colour. */
  placed: PlacedView[];
  /** Which folds count: `any`, `swings` or `planned`. */
  reach: string;
  /** The set's title. */
  title: string;
  /** Whether pieces may lie on their face. */
  turn_over: boolean;
}

/** A question about what is being drawn. */
export interface Question {
  /** Which page asks: its newer question ends this one. */
  desk: string;
  /** Milliseconds to answer in. */
  milliseconds?: number;
  /** What is drawn. */
  opening: Opening;
  /** Also look for the most pockets, which lists every layout. */
  thorough?: boolean;
  /** The cells that were wished for. */
  wish?: number[][] | null;
}

/** How to scout. */
export interface Scouting {
  /** From nothing: within a box of these columns and rows. */
  box?: number[] | null;
  /** With `near`: so many cells may be moved. */
  moves?: number | null;
  /** Near this outline of the project. */
  near?: string | null;
  picture?: Wished | null;
  /** With `box`: about so many drawn at random, none twice. */
  sample?: number | null;
  /** End after so many seconds. */
  seconds?: number | null;
  /** With `sample`: another seed draws others. */
  seed?: number | null;
  /** What makes a find better: `unique`, `harder` or `fewer-pockets`. */
  wish?: string | null;
}

/** What is seen of a piece that is being drawn. */
export interface Seeing {
  /** Everything wrong with the drawing; then there is nothing else. */
  faults: string[];
  /** What `folds --json --each` says of it. */
  folds?: Record<string, unknown> | null;
  /** The numbers of the folds that are no turns of earlier ones, nearest to home first. */
  unlike: number[];
  /** The way that was asked for: poses from home to the fold. */
  way?: Stand[] | null;
}

/** A part as a screen shows it, in millimetres. */
export interface SolidView {
  /** Its bodies. */
  bodies: BodyView[];
  /** The hinges that one side of can turn; none but for pieces. */
  hinges: TurnView[];
  /** Its name. */
  name: string;
}

/** How far a job is. */
export type Stage = "waiting" | "running" | "done" | "failed" | "cancelled";

/** One pose on a way. */
export interface Stand {
  /** The cell of each block. */
  cells: number[][];
  /** Whether the piece lies on its face. */
  face_down: boolean;
  /** Each hinge, `[x, y, level]`. */
  pins: number[][];
  swing?: SwingView | null;
  /** How many quarter turns anticlockwise each block is turned against home. */
  turns: number[];
}

/** One swing. */
export interface SwingView {
  /** The blocks that turn. */
  blocks: number[];
  /** The hinge, by its position. */
  hinge: number;
  /** 1: a quarter turn anticlockwise, -1: clockwise. */
  quarter: number;
}

/** A hinge that turns. */
export interface TurnView {
  /** Its position among the piece's hinges. */
  hinge: number;
  /** The bodies on its far side. */
  moving: number[];
  /** Where its pin stands, in millimetres. */
  pin: number[];
  /** Degrees that the far side can turn from home, clockwise (not above 0) and anticlockwise, as its hinge alone allows. */
  range: number[];
}

/** What was drawn against the wish. */
export interface WishView {
  /** Cells drawn that were not wished for. */
  added: number[][];
  /** Cells wished for that are not drawn. */
  left_out: number[][];
}

/** A picture to find outlines like. */
export interface Wished {
  /** Its bytes in base 64 (RFC 4648): PNG, JPEG or SVG. */
  base64: string;
}
