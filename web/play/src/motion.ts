// Where a motion of the lattice carries a point, and poses carried as a whole.
// Only places: what is allowed, the core says.

import type { Motion, Place, Pose } from "@pinfold/core";

/** A point carried: mirrored in a vertical line first, then turned, then shifted. */
export function carried([mirrored, turn, dx, dy]: Motion, [px, py]: Place): Place {
  const x = mirrored ? -px : px;
  const turned: Place = turn === 0 ? [x, py] : turn === 1 ? [-py, x] : turn === 2 ? [-x, -py] : [py, -x];
  return [turned[0] + dx, turned[1] + dy];
}

/** One motion after another. */
export function followed(first: Motion, next: Motion): Motion {
  const turn = next[0] ? 4 - first[1] : first[1];
  const [dx, dy] = carried(next, [first[2], first[3]]);
  return [first[0] ^ next[0], (turn + next[1]) % 4, dx, dy];
}

export function moved(pose: Pose, motion: Motion): Pose {
  return pose.map((m) => followed(m, motion));
}

export function shifted(pose: Pose, dx: number, dy: number): Pose {
  return pose.map(([mirrored, turn, x, y]) => [mirrored, turn, x + dx, y + dy]);
}
