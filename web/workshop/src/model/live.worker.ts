// The core that answers while the hand still draws, on a thread of its own.
import { Core, CoreError, type Live, type LiveQuestion, type SetRecord } from "@pinfold/core";
import address from "../../../dist/core/core.wasm?url";

export type ToWorker =
  /** The number of the newest question, in memory that both share, where that can be. */
  | { newest: Int32Array | null }
  | { set: SetRecord }
  | { number: number; question: LiveQuestion };
export type FromWorker = { ready: true } | { broken: string } | { number: number; live: Live | null; refused?: string };

let newest: Int32Array | null = null;
let mine = 0;
const over = () => newest !== null && Atomics.load(newest, 0) !== mine;
// Late for ever once a newer question has come: what is being reckoned then ends.
const now = () => (over() ? Infinity : performance.now());
const core = fetch(address).then(async (r) => Core.of(await r.arrayBuffer(), now));
const tell = (what: FromWorker) => postMessage(what);

onmessage = async ({ data }: MessageEvent<ToWorker>) => {
  try {
    if ("newest" in data) newest = data.newest;
    else if ("set" in data) {
      const ready = await core;
      ready.open(data.set);
      // What pieces may become is reckoned with the first question.
      ready.live({ cells: [], pockets: [] });
      tell({ ready: true });
    } else {
      const ready = await core;
      mine = data.number;
      if (over()) return;
      try {
        const live = ready.live(data.question);
        tell({ number: data.number, live: over() ? null : live });
      } catch (error) {
        if (!(error instanceof CoreError)) throw error;
        tell({ number: data.number, live: null, refused: error.message });
      }
    }
  } catch (error) {
    tell({ broken: String(error) });
  }
};
