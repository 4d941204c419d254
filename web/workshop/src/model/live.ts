// Live answers of the page's own core: what takes longer is the server's.
import type { Live, LiveQuestion, SetRecord } from "@pinfold/core";
import type { LiveAnswer, Opening, ProjectView } from "../wire";
import { call } from "./server";
import type { FromWorker, ToWorker } from "./live.worker";
import Worker from "./live.worker?worker";

/** Milliseconds that the core may take for an answer at once. */
const AT_ONCE = 60;

/** A refusal of the core: why what is drawn is no outline. */
export class NoOutline extends Error {}

export class LiveCore {
  readonly #worker = new Worker();
  readonly #newest = self.crossOriginIsolated ? new Int32Array(new SharedArrayBuffer(4)) : null;
  #number = 0;
  #set: string | null = null;
  #ready = false;
  #waiting: { number: number; done: (live: Live | null) => void; fail: (error: Error) => void } | null = null;

  constructor() {
    this.#worker.onmessage = ({ data }: MessageEvent<FromWorker>) => {
      if ("ready" in data) {
        this.#ready = true;
        performance.mark("core ready");
      }
      else if ("broken" in data) {
        // The server answers instead.
        this.#ready = false;
        this.#drop();
      } else if (this.#waiting?.number === data.number) {
        const { done, fail } = this.#waiting;
        this.#waiting = null;
        if (data.refused !== undefined) fail(new NoOutline(data.refused));
        else done(data.live);
      }
    };
    this.#send({ newest: this.#newest });
  }

  /** Whether it knows the set and can be asked. */
  get ready(): boolean {
    return this.#ready;
  }

  /** Takes the project's set, anew when its file has changed. */
  async open(digest: string): Promise<void> {
    if (this.#set === digest) return;
    this.#set = digest;
    this.#ready = false;
    const set = await call<SetRecord>("/api/core");
    if (this.#set === digest) this.#send({ set });
  }

  /** What is known at once; none if a newer question came. */
  ask(opening: Opening): Promise<Live | null> {
    this.#drop();
    const number = ++this.#number;
    if (this.#newest) Atomics.store(this.#newest, 0, number);
    return new Promise((done, fail) => {
      this.#waiting = { number, done, fail };
      const { cells, pockets, spare } = opening as LiveQuestion;
      this.#send({ number, question: { cells, pockets, spare: spare ?? 0, budget: { milliseconds: AT_ONCE } } });
    });
  }

  end(): void {
    this.#drop();
    this.#worker.terminate();
  }

  #drop(): void {
    this.#waiting?.done(null);
    this.#waiting = null;
  }

  #send(what: ToWorker): void {
    this.#worker.postMessage(what);
  }
}

/** The core's answer as the server would tell it. */
export function answerOf(live: Live, project: ProjectView, wish: LiveAnswer["wish"], milliseconds: number): LiveAnswer {
  const name = (piece: number) => project.placed[piece]?.name ?? "";
  const layout = live.filling?.layout;
  return {
    superseded: false,
    cells: live.cells,
    blocks: live.blocks,
    missing: live.missing,
    parts: live.parts,
    notes: live.notes,
    filling: live.filling && {
      different: live.filling.different as number,
      layouts: live.filling.layouts as number,
      foldings: live.filling.foldings as number,
      drop_in_layouts: live.filling.drop_in_layouts as number | null,
      complete: live.filling.complete,
      unique: live.filling.unique,
      answer: layout ? {
        pieces: layout.pieces.map((p) => ({ ...p, piece: name(p.piece) })),
        drop_in: layout.drop_in?.map(name) ?? null,
        interlocked: layout.interlocked?.map(name) ?? null,
        empty: layout.empty,
      } : null,
    },
    advice: live.advice,
    wish: wish ?? null,
    milliseconds,
  };
}
