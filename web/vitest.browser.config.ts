// The pages used in a browser, as `cargo xtask test` runs it: it says in
// PINFOLD and CHROMIUM which programs.
import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: ["*/tests/**/*.browser.ts"],
    environment: "node",
    testTimeout: 120_000,
    hookTimeout: 120_000,
    // A page on a busy machine takes its time.
    expect: { poll: { timeout: 15_000 } },
    // One browser at a time: the machine is small.
    fileParallelism: false,
    // A machine that is busy elsewhere may let a page wait too long: once again, and the
    // report says so.
    retry: 1,
  },
});
