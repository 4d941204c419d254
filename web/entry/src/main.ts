// Starts the entry page on the set that is written into it.

import "@pinfold/page/look.css";
import { dataOf } from "@pinfold/page/data.ts";
import { start } from "@pinfold/page/start.ts";
import App from "./App.svelte";
import type { EntryData } from "./data.ts";

void start(App, (text) => dataOf<EntryData>(text, "pinfold race page"));
