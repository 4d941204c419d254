// The table: where every piece is, and what a hand can do with it. Whatever
// lies in the outline keeps the rules; the core judges every step.
//
// A piece is in the tray, on the mat (picked, beside the board), over the board
// (held above it, wherever that is), or lying in the outline. At most one piece
// is on the mat or over the board. Nothing here draws or keeps time.

import type { Core, Fault, Move, OutlineRecord, PinPlace, Place, Placed, Pose, SetRecord } from "@pinfold/core";
import type { PlayedOutline } from "@pinfold/page/data.ts";
import { type Bounds, boundsOf } from "@pinfold/page/bounds.ts";
import { moved, shifted } from "./motion.ts";
import { listed } from "@pinfold/page/words.ts";
import { faultWords, moveWords, rangeWords } from "./words.ts";

export type Where = "tray" | "mat" | "over" | "lying";

/** A piece somewhere. In the tray and on the mat its lower left is (0, 0). */
export interface Spot {
  pose: Pose;
  where: Where;
}

/** How a pose came to be, for who shows it happening. */
export interface Course {
  piece: number;
  from: Pose;
  to: Pose;
  /** The blocks that turn about `pin` by `angle` quarter turns, if it was a swing. */
  swing: { pin: Place; moving: number[]; angle: number } | null;
}

/** What an action did. */
export interface Done {
  ok: boolean;
  says: string;
  /** What is wrong with where a piece is. */
  faults: Fault[];
  course: Course | null;
}

export class Table {
  readonly core: Core;
  readonly set: SetRecord;
  readonly outline: PlayedOutline;
  readonly names: readonly string[];
  readonly board: Bounds;
  /** The outline as the core reads it. */
  readonly #asked: OutlineRecord;
  #spots: Spot[];
  #selected: number | null = null;
  #undo: Spot[][] = [];
  #redo: Spot[][] = [];
  /** Which way each hinge was last turned by `tap`. */
  #ways = new Map<string, 1 | 3>();
  readonly #cells: Set<string>;

  constructor(core: Core, set: SetRecord, outline: PlayedOutline, names: readonly string[]) {
    this.core = core;
    this.set = set;
    this.outline = outline;
    this.names = names;
    this.#asked = { cells: outline.cells, pockets: outline.pockets, spare: outline.spare };
    this.board = boundsOf(outline.cells);
    this.#cells = new Set(outline.cells.map(String));
    this.#spots = set.pieces.map((_, piece) => ({ pose: this.#home(piece), where: "tray" }));
  }

  get spots(): readonly Spot[] {
    return this.#spots;
  }

  get selected(): number | null {
    return this.#selected;
  }

  get canUndo(): boolean {
    return this.#undo.length > 0;
  }

  get canRedo(): boolean {
    return this.#redo.length > 0;
  }

  get origin(): Place {
    return [this.board.x, this.board.y];
  }

  /** Every piece that lies in the outline. */
  get lying(): Placed[] {
    return this.#spots.flatMap(({ pose, where }, piece) => (where === "lying" ? [{ piece, pose }] : []));
  }

  places(piece: number): { cells: Place[]; pins: PinPlace[] } {
    return this.core.places(piece, this.#spot(piece).pose);
  }

  moves(piece: number): Move[] {
    return this.core.moves(piece, this.#spot(piece).pose);
  }

  /** Whether the outline is filled by the rules. */
  get filled(): boolean {
    const lying = this.lying;
    return lying.length === this.#spots.length && this.core.judge(this.#asked, lying).fills;
  }

  /** The code of the layout that fills the outline. */
  get code(): string | null {
    return this.core.judge(this.#asked, this.lying).code;
  }

  /** What is wrong with where a piece is or would be. */
  faults(piece: number, pose: Pose = this.#spot(piece).pose): Fault[] {
    const others = this.lying.filter((p) => p.piece !== piece);
    const { faults, under } = this.core.lay(this.#asked, others, { piece, pose });
    if (faults.length > 0 || under.length === 0) return faults;
    const over = listed(under.map((p) => this.#name(p)));
    return [{ kind: "under", says: `a hinge of ${over} stands over one of its own; take ${over} out first` }];
  }

  /** Where a piece is, in words. */
  whereWords(piece: number): string {
    const { where } = this.#spot(piece);
    if (where === "tray") return "in the tray";
    if (where === "mat") return "on the mat";
    const at = rangeWords(this.places(piece).cells, this.origin);
    return where === "lying" ? `lies in ${at}` : `held over ${at}`;
  }

  // -- What a hand can do ---------------------------------------------------

  /** Picks a piece; another one in hand is laid if it fits, else put back. */
  select(piece: number): Done {
    if (this.#selected === piece) return this.#done(`${this.#name(piece)} ${this.whereWords(piece)}`);
    const before = this.deselect();
    this.#selected = piece;
    if (this.#spot(piece).where === "tray") this.#put(piece, { where: "mat", pose: this.#spot(piece).pose });
    const put = before.says === "" ? "" : `${before.says} `;
    return this.#done(`${put}${this.#name(piece)} ${this.whereWords(piece)}.`);
  }

  /** Lets go of the piece in hand. */
  deselect(): Done {
    const piece = this.#selected;
    this.#selected = null;
    if (piece === null) return this.#done("");
    const { where, pose } = this.#spot(piece);
    if (where === "over" && this.faults(piece).length === 0) {
      this.#put(piece, { where: "lying", pose });
      return this.#done(`${this.#name(piece)} laid.`);
    }
    if (where === "lying" || where === "tray") return this.#done("");
    this.#put(piece, { where: "tray", pose: this.#settled(piece, pose) });
    return this.#done(where === "over" ? `${this.#name(piece)} put back in the tray.` : "");
  }

  /** Holds a piece over the board, its lower left at a cell. */
  carry(piece: number, x: number, y: number): Done {
    return this.#change(piece, () => {
      const lifted = this.#lift(piece);
      if (lifted !== null) return lifted;
      const at = boundsOf(this.places(piece).cells);
      this.#put(piece, { where: "over", pose: shifted(this.#spot(piece).pose, x - at.x, y - at.y) });
      return this.#held(piece);
    });
  }

  /** Drops a piece with its lower left at a cell: laid if it fits there. */
  drop(piece: number, x: number, y: number): Done {
    return this.#change(piece, () => {
      const lifted = this.#lift(piece);
      if (lifted !== null) return lifted;
      const at = boundsOf(this.places(piece).cells);
      this.#put(piece, { where: "over", pose: shifted(this.#spot(piece).pose, x - at.x, y - at.y) });
      return this.#settle(piece, "");
    });
  }

  /** Moves a piece by so many cells; one beside the board comes over its middle first. */
  nudge(piece: number, dx: number, dy: number): Done {
    const { where } = this.#spot(piece);
    const at = boundsOf(this.places(piece).cells);
    if (where === "over" || where === "lying") {
      const far =
        at.x + dx + at.width < this.board.x ||
        at.y + dy + at.height < this.board.y ||
        at.x + dx > this.board.x + this.board.width ||
        at.y + dy > this.board.y + this.board.height;
      if (far) return this.#refused(`${this.#name(piece)} is at the edge of the table.`);
      return this.carry(piece, at.x + dx, at.y + dy);
    }
    const middle = (from: number, size: number, own: number) => from + Math.floor((size - own) / 2);
    const { x, y, width, height } = this.board;
    return this.carry(piece, middle(x, width, at.width), middle(y, height, at.height));
  }

  /** Turns a piece as a whole: 1 anticlockwise, 3 clockwise. It is laid again if it fits. */
  turn(piece: number, quarters: 1 | 3): Done {
    return this.#carriedAs(piece, [0, quarters, 0, 0], quarters === 1 ? "turned anticlockwise" : "turned clockwise");
  }

  /** Turns a piece over, where the set allows it. */
  turnOver(piece: number): Done {
    if (!this.set.turn_over) return this.#refused("Pieces of this set are not turned over.");
    return this.#carriedAs(piece, [1, 0, 0, 0], "turned over");
  }

  /** Turns a hinge the way it went last, or else the other way. */
  tap(piece: number, hinge: number, otherWay = false): Done {
    const key = `${piece}:${hinge}`;
    const last = this.#ways.get(key) ?? 1;
    const first = otherWay ? ((4 - last) as 1 | 3) : last;
    const moves = this.moves(piece).filter((m) => m.hinge === hinge);
    const wanted = moves.find((m) => m.turn === first);
    const other = moves.find((m) => m.turn !== first);
    const either = other?.after || wanted?.how === "partner" ? other : wanted;
    const chosen = wanted?.after || otherWay ? wanted : either;
    return chosen === undefined ? this.#refused("There is no such hinge.") : this.swing(piece, hinge, chosen.turn);
  }

  /** Turns one side of a hinge, the smaller one. It is laid again if it fits. */
  swing(piece: number, hinge: number, turn: 1 | 3): Done {
    const move = this.moves(piece).find((m) => m.hinge === hinge && m.turn === turn);
    if (move === undefined) return this.#refused("There is no such hinge.");
    const words = moveWords(this.#name(piece), move);
    if (move.after === null) return this.#refused(`${words}.`);
    const after = move.after;
    const pin = this.places(piece).pins[hinge]!;
    return this.#change(piece, () => {
      const lifted = this.#lift(piece);
      if (lifted !== null) return lifted;
      const from = this.#spot(piece).pose;
      const to = this.#rested(piece, after);
      this.#put(piece, { where: this.#spot(piece).where, pose: to });
      this.#ways.set(`${piece}:${hinge}`, turn);
      const done = this.#settle(piece, words);
      // Shown as it swings, before the piece is shifted to rest on the mat.
      const shift: Place = [to[0]![2] - after[0]![2], to[0]![3] - after[0]![3]];
      const swing =
        move.how === "together"
          ? null
          : {
              pin: [pin[0] + shift[0], pin[1] + shift[1]] as Place,
              moving: move.moving,
              angle: turn === 1 ? 1 : -1,
            };
      return { ...done, course: { piece, from: shifted(from, ...shift), to, swing } };
    });
  }

  /** Lays the piece held over the board, if it fits; beside the outline, it goes to the mat. */
  lay(piece: number): Done {
    const { where } = this.#spot(piece);
    if (where === "lying") return this.#done(`${this.#name(piece)} ${this.whereWords(piece)}.`);
    if (where !== "over") return this.#refused(`${this.#name(piece)} is not over the board.`);
    return this.#change(piece, () => this.#settle(piece, ""));
  }

  /** Back to the tray, folded as it is. */
  putBack(piece: number): Done {
    return this.#change(piece, () => {
      const lifted = this.#lift(piece);
      if (lifted !== null) return lifted;
      const where = this.#selected === piece ? "mat" : "tray";
      this.#put(piece, { where, pose: this.#settled(piece, this.#spot(piece).pose) });
      return this.#done(`${this.#name(piece)} put back.`);
    });
  }

  /** Back to the tray, folded as it is at home. */
  toHome(piece: number): Done {
    return this.#change(piece, () => {
      const lifted = this.#lift(piece);
      if (lifted !== null) return lifted;
      const where = this.#selected === piece ? "mat" : "tray";
      this.#put(piece, { where, pose: this.#home(piece) });
      return this.#done(`${this.#name(piece)} put back, unfolded.`);
    });
  }

  undo(): Done {
    return this.#restore(this.#undo, this.#redo, "Undone.");
  }

  redo(): Done {
    return this.#restore(this.#redo, this.#undo, "Done again.");
  }

  /** Spots as they were kept: each piece only if it holds together and, lying, keeps the rules. */
  adopt(spots: readonly Spot[]): void {
    this.#selected = null;
    const sound = spots.map(({ pose, where }, piece): Spot => {
      try {
        this.core.moves(piece, pose);
        return { pose, where };
      } catch {
        return { pose: this.#home(piece), where: "tray" };
      }
    });
    this.#spots = sound.map(({ pose }, piece) => ({ pose: this.#settled(piece, pose), where: "tray" }));
    // In whatever order they can be laid.
    let left = sound.flatMap(({ where }, piece) => (where === "lying" ? [piece] : []));
    for (let before = -1; before !== left.length; ) {
      before = left.length;
      left = left.filter((piece) => {
        const pose = sound[piece]!.pose;
        if (this.faults(piece, pose).length > 0) return true;
        this.#put(piece, { where: "lying", pose });
        return false;
      });
    }
  }

  // -- How it is done -------------------------------------------------------

  #name(piece: number): string {
    return this.names[piece] ?? `piece ${piece + 1}`;
  }

  #spot(piece: number): Spot {
    const spot = this.#spots[piece];
    if (spot === undefined) throw new Error(`there is no piece ${piece}`);
    return spot;
  }

  #put(piece: number, spot: Spot): void {
    this.#spots = this.#spots.with(piece, spot);
  }

  #home(piece: number): Pose {
    const record = this.set.pieces[piece]!;
    const bodies = record.rigid ? 1 : record.blocks.length;
    return this.#settled(
      piece,
      Array.from({ length: bodies }, () => [0, 0, 0, 0]),
    );
  }

  /** The pose with its lower left at (0, 0). */
  #settled(piece: number, pose: Pose): Pose {
    const at = boundsOf(this.core.places(piece, pose).cells);
    return shifted(pose, -at.x, -at.y);
  }

  /** The pose as it rests where the piece is: on the mat its lower left stays put. */
  #rested(piece: number, pose: Pose): Pose {
    return this.#spot(piece).where === "over" ? pose : this.#settled(piece, pose);
  }

  #done(says: string, faults: Fault[] = []): Done {
    return { ok: true, says, faults, course: null };
  }

  #refused(says: string, faults: Fault[] = []): Done {
    return { ok: false, says, faults, course: null };
  }

  /** Takes a lying piece up, unless one must come out before it. */
  #lift(piece: number): Done | null {
    const { where, pose } = this.#spot(piece);
    if (where !== "lying") return null;
    const others = this.lying.filter((p) => p.piece !== piece);
    const { under } = this.core.lay(this.#asked, others, { piece, pose });
    if (under.length > 0) {
      const over = listed(under.map((p) => this.#name(p)));
      return this.#refused(
        `${this.#name(piece)} can't come out: a hinge of ${over} stands over one of its own. Take ${over} out first.`,
      );
    }
    this.#put(piece, { where: "over", pose });
    return null;
  }

  /** What holding a piece where it is comes to. */
  #held(piece: number): Done {
    const faults = this.faults(piece);
    const at = rangeWords(this.places(piece).cells, this.origin);
    const fits = faults.length === 0 ? "It fits." : this.#faultWords(piece, faults);
    return this.#done(`Over ${at}. ${fits}`, faults);
  }

  #settle(piece: number, words: string): Done {
    const said = words === "" ? "" : `${words}. `;
    const { where, pose } = this.#spot(piece);
    if (where !== "over") return this.#done(said.trim());
    const { cells } = this.places(piece);
    if (!cells.some((c) => this.#cells.has(String(c)))) {
      const beside = this.#selected === piece ? "mat" : "tray";
      this.#put(piece, { where: beside, pose: this.#settled(piece, pose) });
      return this.#done(`${said}${this.#name(piece)} is beside the board.`);
    }
    const faults = this.faults(piece);
    if (faults.length > 0) return this.#refused(`${said}${this.#faultWords(piece, faults)}`, faults);
    this.#put(piece, { where: "lying", pose });
    return this.#done(`${said}${this.#name(piece)} ${this.whereWords(piece)}.`);
  }

  #faultWords(piece: number, faults: Fault[]): string {
    const owner = (cell: Place): string | undefined => {
      const found = this.lying.find(
        (p) => p.piece !== piece && this.places(p.piece).cells.some((c) => String(c) === String(cell)),
      );
      return found && this.#name(found.piece);
    };
    return faultWords(this.#name(piece), faults, owner, this.origin);
  }

  /** Carries a piece about its own middle. */
  #carriedAs(piece: number, motion: [number, number, number, number], words: string): Done {
    return this.#change(piece, () => {
      const lifted = this.#lift(piece);
      if (lifted !== null) return lifted;
      const from = this.#spot(piece).pose;
      const old = boundsOf(this.places(piece).cells);
      const carried = moved(from, motion);
      const now = boundsOf(this.core.places(piece, carried).cells);
      // Towards zero both ways, so that four turns lead back.
      const x = old.x + Math.trunc((old.width - now.width) / 2);
      const y = old.y + Math.trunc((old.height - now.height) / 2);
      const to = this.#rested(piece, shifted(carried, x - now.x, y - now.y));
      this.#put(piece, { where: this.#spot(piece).where, pose: to });
      const done = this.#settle(piece, `${this.#name(piece)} ${words}`);
      return { ...done, course: { piece, from, to, swing: null } };
    });
  }

  /** Runs an action on a piece in hand, to be undone. What comes to nothing is not kept. */
  #change(piece: number, act: () => Done): Done {
    if (this.#selected !== piece) this.select(piece);
    const before = this.#spots;
    const done = act();
    if (before !== this.#spots) {
      this.#undo.push(before);
      this.#redo = [];
    }
    return done;
  }

  #restore(from: Spot[][], to: Spot[][], says: string): Done {
    const spots = from.pop();
    if (spots === undefined) return this.#refused("There is nothing to undo.");
    to.push(this.#spots);
    this.#spots = spots;
    // Whoever is in hand now is the one that was in hand then.
    const inHand = spots.findIndex((s) => s.where === "mat" || s.where === "over");
    this.#selected = inHand === -1 ? null : inHand;
    return this.#done(says);
  }
}
