// The demo project's own files, without what a run leaves behind: `cargo xtask test`
// lays a fresh copy and names it in QUAYSIDE.

import { cpSync, mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

/** A copy of one's own, in a new folder. */
export function quayside(): string {
  const source = process.env["QUAYSIDE"];
  if (source === undefined) throw new Error("QUAYSIDE names no copy of the demo project: run cargo xtask test browser");
  const folder = mkdtempSync(join(tmpdir(), "pinfold-quayside-"));
  cpSync(source, folder, { recursive: true });
  return folder;
}
