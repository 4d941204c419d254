// Where the pages begin.
import { mount } from "svelte";
import App from "./App.svelte";
import "./bench.css";
import { loadRules } from "./model/rules";

const target = document.getElementById("bench");
if (!target) throw new Error("the page has a place for the bench");
await loadRules();
mount(App, { target });
