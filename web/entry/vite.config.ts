import { resolve } from "node:path";
import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vite";
import { oneFile } from "../page/src/one-file.ts";

const dist = resolve(import.meta.dirname, "../dist");

export default defineConfig({
  plugins: [svelte(), oneFile(resolve(dist, "core/entry.wasm"))],
  build: {
    outDir: resolve(dist, "entry"),
    emptyOutDir: true,
    assetsInlineLimit: 0,
    modulePreload: false,
    cssCodeSplit: false,
    target: "es2022",
  },
});
