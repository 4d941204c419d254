// Starts the play page on the set that is written into it.

import "@pinfold/page/look.css";
import { dataOf } from "@pinfold/page/data.ts";
import { start } from "@pinfold/page/start.ts";
import App from "./App.svelte";

void start(App, (text) => dataOf(text));
