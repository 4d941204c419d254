// What the making of parts answers, as far as the pages show it.

export interface MadePart {
  name: string;
  kind: "piece" | "plate" | "board" | "coupon";
  file: string | null;
  bodies: number;
  volume_mm3: number;
  min_gap_mm: number | null;
  least_wall_mm: number | null;
  closed: boolean;
  oriented: boolean;
  triangles: number;
  size_mm: [number, number, number];
  overhangs: { body: number; layer: number; z_mm: number; area_mm2: number }[];
  hinges: { hinge: number; least_gap_mm: number; least_at_degrees: number; play_up_mm: number; play_down_mm: number; play_across_mm: number }[];
  fits_bed: boolean;
  minutes: number;
  metres: number;
  grams: number;
  layers: number;
  colour_changes: { z_mm: number; layer: number }[];
  small_part: boolean;
  failures: { check: string; message: string }[];
}

export interface Made {
  passed: boolean;
  printer: { bed: [number, number]; spacing: number };
  parts: MadePart[];
  beds: { file: string; parts: { part: string; at: [number, number]; turned: boolean }[]; minutes: number; grams: number }[];
  minutes: number;
  metres: number;
  grams: number;
  cautions: string[];
  files: { file: string; bytes: number; sha256: string }[];
}

export const mm = (n: number | null, digits = 2): string => (n === null ? "–" : `${n.toFixed(digits)} mm`);

export function time(minutes: number): string {
  const all = Math.round(minutes);
  return all < 60 ? `${all} min` : `${Math.floor(all / 60)} h ${String(all % 60).padStart(2, "0")} min`;
}

export const fileOf = (job: number, name: string): string => `/api/jobs/${job}/files/${encodeURIComponent(name)}`;
