// The entry slip: what is sent with the photo, or written on paper.

export interface Slip {
  race: string | null;
  set: string;
  /** The outline as it is called on the page, and its name in files. */
  outline: string;
  name: string;
  /** None if it is not there, or not well copied. */
  mark: string | null;
  code: string;
  rows: string;
}

/** A place to write the mark by hand. */
const BLANK = "____-____-____";

export function slipText({ race, set, outline, name, mark, code, rows }: Slip): string {
  const lines = [
    ["Race", race],
    ["Set", set],
    ["Outline", `${outline} [${name}]`],
    ["Entry mark", mark ?? BLANK],
    ["Code", code],
    ["Layout", rows],
  ];
  const told = lines.filter((line): line is [string, string] => line[1] !== null);
  return ["ENTRY", ...told.map(([what, is]) => `${what}: ${is}`)].join("\n");
}
