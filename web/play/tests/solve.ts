// For tests: how a person would come to a filling, found with the core. The
// page itself has nothing of this.

import type { Core, Place, Placed, Pose, SetRecord } from "@pinfold/core";
import type { PlayedOutline } from "@pinfold/page/data.ts";
import { boundsOf } from "@pinfold/page/bounds.ts";
import { moved, shifted } from "../src/motion.ts";

/** What to do with one piece, in order: hinges, turns of the whole, then where to. */
export interface Steps {
  piece: number;
  swings: { hinge: number; turn: 1 | 3 }[];
  /** Quarter turns anticlockwise. */
  turns: number;
  /** The lower left of its cells in the filling. */
  at: Place;
  /** The cell of the first block, from there. */
  first: Place;
}

const resting = (core: Core, piece: number, pose: Pose): Pose => {
  const { x, y } = boundsOf(core.places(piece, pose).cells);
  return shifted(pose, -x, -y);
};

const seen = (core: Core, piece: number, pose: Pose): string => {
  const { cells, pins } = core.places(piece, resting(core, piece, pose));
  return JSON.stringify([cells.map(String).sort(), pins.map(String).sort()]);
};

/** The steps that lead from home to a placed piece. */
export function steps(core: Core, set: SetRecord, { piece, pose }: Placed): Steps {
  const { x, y } = boundsOf(core.places(piece, pose).cells);
  const goals = new Map(
    [0, 1, 2, 3].map((turns) => [seen(core, piece, moved(pose, [0, (4 - turns) % 4, 0, 0])), turns]),
  );
  const record = set.pieces[piece]!;
  const home: Pose = Array.from({ length: record.rigid ? 1 : record.blocks.length }, () => [0, 0, 0, 0]);
  const queue: { pose: Pose; swings: Steps["swings"] }[] = [{ pose: home, swings: [] }];
  const known = new Set([JSON.stringify(resting(core, piece, home))]);
  for (const { pose: at, swings } of queue) {
    const turns = goals.get(seen(core, piece, at));
    if (turns !== undefined) {
      const rest = resting(core, piece, moved(at, [0, turns, 0, 0]));
      return { piece, swings, turns, at: [x, y], first: core.places(piece, rest).cells[0]! };
    }
    for (const move of core.moves(piece, at)) {
      if (move.after === null) continue;
      const key = JSON.stringify(resting(core, piece, move.after));
      if (known.has(key)) continue;
      known.add(key);
      queue.push({ pose: move.after, swings: [...swings, { hinge: move.hinge, turn: move.turn }] });
    }
  }
  throw new Error(`piece ${piece} does not come to its fold`);
}

/** The steps to a filling, pieces in their drop-in order; `core` must be able to count. */
export function solution(core: Core, set: SetRecord, outline: PlayedOutline): Steps[] {
  const { cells, pockets, spare } = outline;
  const [answer] = core.count({ cells, pockets, spare }, { limit: 2, answers: 1 }).answers;
  if (!answer?.drop_in) throw new Error(`${outline.name} has no filling that drops in`);
  return answer.drop_in.map((position) => steps(core, set, answer.placed[position]!));
}
