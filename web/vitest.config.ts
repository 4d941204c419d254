// Tests of the pages' logic, beside what they test. End-to-end tests run apart.
import { svelte } from "@sveltejs/vite-plugin-svelte";
import { defineConfig } from "vitest/config";

export default defineConfig({
  plugins: [svelte()],
  test: { include: ["*/src/**/*.test.ts"], environment: "node", testTimeout: 60_000 },
});
