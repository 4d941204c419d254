// What is said of a layout while it is still being painted: what is only not
// yet there is no fault.

import type { Written, WrittenFault } from "@pinfold/core";

export interface Verdict {
  state: "blank" | "begun" | "wrong" | "right";
  /** One sentence. */
  head: string;
  faults: WrittenFault[];
}

export interface Sizes {
  cells: number;
  spare: number;
  /** Blocks of each piece. */
  blocks: number[];
}

const counted = (n: number, what: string): string => `${n} ${what}${n === 1 ? "" : "s"}`;

export function verdict(written: Written, { cells, spare, blocks }: Sizes): Verdict {
  const covered = written.covered.length;
  const whole = cells - spare;
  if (written.accepted) {
    return { state: "right", head: "This is a valid layout. Its code is below.", faults: [] };
  }
  const found = blocks.map((_, piece) => written.covered.filter((c) => c[2] === piece).length);
  const toCome = ({ kind, pieces }: WrittenFault): boolean =>
    kind === "empty" || (kind === "blocks" && pieces.every((p) => found[p]! < blocks[p]!));
  const faults = covered < whole ? written.faults.filter((f) => !toCome(f)) : written.faults;
  const progress = `${covered} of ${counted(whole, "cell")} covered.`;
  if (faults.length === 0) return { state: covered === 0 ? "blank" : "begun", head: progress, faults };
  return { state: "wrong", head: `${progress} ${counted(faults.length, "thing")} ${faults.length === 1 ? "is" : "are"} not right:`, faults };
}
