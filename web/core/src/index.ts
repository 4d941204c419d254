// The rules and the search, as the program itself reckons them: the crate
// `browser` compiled to WebAssembly, asked by typed questions.
//
// Three modules are built: `rules.wasm`; `core.wasm`, which can count, too; and
// `entry.wasm`, which can read written layouts, too.
// A refusal is thrown as CoreError. Should the module itself break (it must
// not), the error is thrown as it is and the core is of no further use.

import type {
  Budget,
  Counts,
  Covered,
  Folds,
  Judgement,
  Lay,
  Live,
  LiveQuestion,
  Move,
  OutlineFacts,
  OutlineRecord,
  PinPlace,
  Place,
  Placed,
  Pockets,
  Pose,
  SetRecord,
  Written,
} from "./records.ts";

export * from "./records.ts";

/** The core understood the question and says why it has no answer. */
export class CoreError extends Error {
  override name = "CoreError";
}

interface Exports {
  memory: WebAssembly.Memory;
  room(length: number): number;
  ask(): number;
  answer(): number;
}

const encoder = new TextEncoder();
const decoder = new TextDecoder();

export class Core {
  readonly #module: Exports;

  private constructor(module: Exports) {
    this.#module = module;
  }

  /**
   * The core from the bytes of its module. Work within a budget ends at the first
   * look at a clock that says it is late: `Infinity` ends it at once.
   */
  static async of(bytes: BufferSource, now: () => number = () => performance.now()): Promise<Core> {
    const { instance } = await WebAssembly.instantiate(bytes, { pinfold: { now } });
    return new Core(instance.exports as unknown as Exports);
  }

  /** Asks anything; the methods below ask with types. */
  ask(question: unknown): unknown {
    const text = encoder.encode(JSON.stringify(question));
    const { memory, room, ask, answer } = this.#module;
    const at = room(text.length);
    // Memory may have moved: a view is made only when it is used.
    new Uint8Array(memory.buffer, at, text.length).set(text);
    const length = ask();
    const told: unknown = JSON.parse(decoder.decode(new Uint8Array(memory.buffer, answer(), length)));
    if (typeof told === "object" && told !== null && "error" in told) {
      throw new CoreError(String(told.error));
    }
    return told;
  }

  /** Lays out a set. All further questions are about it. */
  open(set: SetRecord): void {
    this.ask({ open: { set } });
  }

  outline(outline: OutlineRecord): OutlineFacts {
    return this.ask({ outline: { outline } }) as OutlineFacts;
  }

  folds(piece: number): Folds {
    return this.ask({ folds: { piece } }) as Folds;
  }

  /** Each hinge, each way: where it leads or what is in the way. */
  moves(piece: number, pose: Pose): Move[] {
    return this.ask({ moves: { piece, pose } }) as Move[];
  }

  /** Where the blocks and hinges of a pose are. */
  places(piece: number, pose: Pose): { cells: Place[]; pins: PinPlace[] } {
    return this.ask({ places: { piece, pose } }) as { cells: Place[]; pins: PinPlace[] };
  }

  /** What keeps a piece from lying where it is. */
  lay(outline: OutlineRecord, lying: Placed[], piece: Placed): Lay {
    return this.ask({ lay: { outline, lying, piece } }) as Lay;
  }

  judge(outline: OutlineRecord, placed: Placed[]): Judgement {
    return this.ask({ judge: { outline, placed } }) as Judgement;
  }

  /** A layout as a person writes it: rows of letters, or the short code. Only in `entry.wasm`. */
  written(outline: OutlineRecord, text: string): Written {
    return this.ask({ written: { outline, text } }) as Written;
  }

  /** A layout by the piece of each covered cell; only in `entry.wasm`. */
  painted(outline: OutlineRecord, covered: Covered[]): Written {
    return this.ask({ painted: { outline, covered } }) as Written;
  }

  /** An entry mark as it is printed, or the slips in copying it; only in `entry.wasm`. */
  mark(text: string): { mark: string | null; misread: string[] } {
    return this.ask({ mark: { text } }) as { mark: string | null; misread: string[] };
  }

  /** A layout's code hashed with salt, in hexadecimal. */
  seal(salt: string, code: string): string {
    return (this.ask({ seal: { salt, code } }) as { seal: string }).seal;
  }

  /** Fillings counted; only in `core.wasm`. */
  count(
    outline: OutlineRecord,
    ask: { limit?: number; answers?: number; open?: boolean; budget?: Budget } = {},
  ): Counts {
    return this.ask({ count: { outline, ask } }) as Counts;
  }

  /** Pockets that leave one layout; only in `core.wasm`. */
  pockets(outline: OutlineRecord, ask: { most_layouts: number; budget?: Budget }): Pockets {
    return this.ask({ pockets: { outline, ask } }) as Pockets;
  }

  /** What is known of a drawing while the hand still draws; only in `core.wasm`. */
  live(question: LiveQuestion): Live {
    return this.ask({ live: question }) as Live;
  }
}
