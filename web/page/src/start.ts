// Reads the set and the core out of the page and starts it.

import { Core } from "@pinfold/core";
import { type Component, mount } from "svelte";
import { bytesOf, type Told } from "./data.ts";

/** Where a page keeps things between visits. */
export type Shelf = Pick<Storage, "getItem" | "setItem">;

export interface Started<D> {
  data: D;
  core: Core;
  /** None where nothing can be kept. */
  shelf: Shelf | null;
}

const element = (id: string): HTMLElement => {
  const found = document.getElementById(id);
  if (found === null) throw new Error(`the page has no #${id}`);
  return found;
};

const shelf = (): Shelf | null => {
  try {
    return localStorage;
  } catch {
    return null;
  }
};

/** Mounts the page on what `read` finds in it; what goes wrong is told on the page. */
export async function start<D extends Told>(page: Component<Started<D>>, read: (text: string) => D): Promise<void> {
  const target = element("app");
  try {
    const data = read(element("pinfold-data").textContent ?? "");
    const core = await Core.of(bytesOf((element("pinfold-core").textContent ?? "").trim()));
    const letters = data.art.map((a) => a.letter).join("");
    // More pieces than letters: no page writes layouts down then, and none need be read.
    const distinct = new Set(letters).size === data.set.pieces.length;
    core.open(distinct ? { ...data.set, letters } : data.set);
    mount(page, { target, props: { data, core, shelf: shelf() } });
  } catch (error) {
    const said = document.createElement("p");
    said.setAttribute("role", "alert");
    said.textContent = `This page could not start: ${error instanceof Error ? error.message : String(error)}`;
    target.replaceChildren(said);
  }
}
