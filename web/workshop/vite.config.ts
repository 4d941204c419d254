// The workshop's pages, built into files that the server has inside it. Nothing
// is loaded from elsewhere, and nothing is inlined that the content policy forbids.
import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vite";

export default defineConfig({
  plugins: [svelte()],
  base: "/",
  build: {
    outDir: "../dist/workshop",
    emptyOutDir: true,
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 900,
  },
});
