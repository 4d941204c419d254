// For tests, which run in Node: where what cargo has built lies.

import { readFile } from "node:fs/promises";
import { resolve } from "node:path";
import { Core } from "./index.ts";

const web = resolve(import.meta.dirname, "../..");

/** A core from the module that `cargo xtask web` has built. */
export async function builtCore(name: "core" | "rules" | "entry"): Promise<Core> {
  return Core.of(new Uint8Array(await readFile(resolve(web, "dist/core", `${name}.wasm`))));
}

/** Cargo's target folder. */
export const target = process.env["TARGET"] ?? resolve(web, "../target");
