// The rules of outlines, asked of the core: where a pocket can stand. It is loaded
// before the page begins, so that a stroke has its answer at once.
import { Core, CoreError, type OutlineFacts, type Place } from "@pinfold/core";

let core: Core | null = null;

/** Takes the core that rules are asked of. */
export function useRules(given: Core): void {
  core = given;
}

/** Loads it, once for the page. */
export async function loadRules(): Promise<void> {
  const { default: address } = await import("../../../dist/core/rules.wasm?url");
  useRules(await Core.of(await (await fetch(address)).arrayBuffer()));
}

const none: ReadonlySet<string> = new Set();
const known = new WeakMap<ReadonlySet<string>, ReadonlySet<string>>();

/** The vertices at the wall of these cells, as keys: there a pocket can stand. */
export function walls(cells: ReadonlySet<string>): ReadonlySet<string> {
  if (cells.size === 0) return none;
  let edge = known.get(cells);
  if (!edge) {
    edge = new Set(facts([...cells].map((k) => k.split(",").map(Number) as Place)).edge.map(([x, y]) => `${x},${y}`));
    known.set(cells, edge);
  }
  return edge;
}

function facts(cells: Place[]): OutlineFacts {
  if (!core) throw new CoreError("the core is not loaded");
  return core.outline({ cells, pockets: [] });
}
