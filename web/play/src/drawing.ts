// Where the blocks of a piece are drawn, at rest and on the way from one pose
// to another. In lattice units, y up, angles in degrees anticlockwise.

import type { PieceRecord, Place, Pose } from "@pinfold/core";
import { carried } from "./motion.ts";
import type { Course } from "./table.ts";

/** One block: its centre, and how its plan is turned against home. */
export interface BlockAt {
  x: number;
  y: number;
  angle: number;
  mirrored: boolean;
}

export interface Drawn {
  blocks: BlockAt[];
  /** The pins, in the order of the hinges. */
  pins: Place[];
}

const motionOf = (record: PieceRecord, pose: Pose, block: number) => pose[record.rigid ? 0 : block]!;

/** A piece at rest. */
export function atRest(record: PieceRecord, pose: Pose): Drawn {
  const blocks = record.blocks.map(([x, y], block): BlockAt => {
    const motion = motionOf(record, pose, block);
    const [cx, cy] = carried(motion, [x + 0.5, y + 0.5]);
    return { x: cx, y: cy, angle: 90 * motion[1], mirrored: motion[0] === 1 };
  });
  const pins = record.hinges.map((h) => carried(motionOf(record, pose, h.joins[0]), h.pin));
  return { blocks, pins };
}

function spun([x, y]: Place, [px, py]: Place, degrees: number): Place {
  const a = (degrees * Math.PI) / 180;
  const [dx, dy] = [x - px, y - py];
  return [px + dx * Math.cos(a) - dy * Math.sin(a), py + dx * Math.sin(a) + dy * Math.cos(a)];
}

const between = (a: number, b: number, part: number) => a + (b - a) * part;

/** From -180 to 180. */
const shortWay = (degrees: number) => ((((degrees + 180) % 360) + 360) % 360) - 180;

function middle(blocks: readonly BlockAt[]): Place {
  const mean = (of: (b: BlockAt) => number) => blocks.reduce((sum, b) => sum + of(b), 0) / blocks.length;
  return [mean((b) => b.x), mean((b) => b.y)];
}

/** A piece on its way, from 0 at the start to 1 at the end. */
export function underWay(record: PieceRecord, course: Course, part: number): Drawn {
  const [from, to] = [atRest(record, course.from), atRest(record, course.to)];
  if (course.swing !== null) {
    const { pin, moving, angle } = course.swing;
    const degrees = 90 * angle * part;
    const blocks = from.blocks.map((b, block) => {
      if (!moving.includes(block)) return b;
      const [x, y] = spun([b.x, b.y], pin, degrees);
      return { ...b, x, y, angle: b.angle + degrees };
    });
    const pins = from.pins.map((p, h) => {
      const joins = record.hinges[h]!.joins;
      return joins.every((block) => moving.includes(block)) ? spun(p, pin, degrees) : p;
    });
    return { blocks, pins };
  }
  // As a whole: the middle goes straight, and all turn about it, as far as the
  // first block turns. What several hinges do at once is only hinted at.
  const [a, b] = [middle(from.blocks), middle(to.blocks)];
  const [first, last] = [from.blocks[0]!, to.blocks[0]!];
  const over = first.mirrored !== last.mirrored;
  const whole = over ? 0 : shortWay(last.angle - first.angle);
  const centre: Place = [between(a[0], b[0], part), between(a[1], b[1], part)];
  const going = (p: Place, q: Place): Place => {
    const start = spun([p[0] - a[0], p[1] - a[1]], [0, 0], whole * part);
    const end = spun([q[0] - b[0], q[1] - b[1]], [0, 0], whole * (part - 1));
    return [centre[0] + between(start[0], end[0], part), centre[1] + between(start[1], end[1], part)];
  };
  const blocks = from.blocks.map((block, i) => {
    const end = to.blocks[i]!;
    const [x, y] = going([block.x, block.y], [end.x, end.y]);
    const turn = over ? 0 : shortWay(end.angle - block.angle);
    const half = over && part >= 0.5 ? end : block;
    return { x, y, angle: half.angle + turn * part, mirrored: half.mirrored };
  });
  return { blocks, pins: from.pins.map((p, h) => going(p, to.pins[h]!)) };
}
