// Reads the set and the core out of the page and starts it.

import { Core } from "@pinfold/core";
import { mount } from "svelte";
import App from "./App.svelte";
import { bytesOf, dataOf } from "./data.ts";
import "./look.css";

const element = (id: string): HTMLElement => {
  const found = document.getElementById(id);
  if (found === null) throw new Error(`the page has no #${id}`);
  return found;
};

const shelf = (): Storage | null => {
  try {
    return localStorage;
  } catch {
    return null;
  }
};

async function start(): Promise<void> {
  const target = element("app");
  try {
    const data = dataOf(element("pinfold-data").textContent ?? "");
    const core = await Core.of(bytesOf((element("pinfold-core").textContent ?? "").trim()));
    core.open(data.set);
    mount(App, { target, props: { data, core, shelf: shelf() } });
  } catch (error) {
    const said = document.createElement("p");
    said.setAttribute("role", "alert");
    said.textContent = `This page could not start: ${error instanceof Error ? error.message : String(error)}`;
    target.replaceChildren(said);
  }
}

void start();
