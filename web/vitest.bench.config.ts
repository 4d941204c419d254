// How long things take; never part of the tests.
import { defineConfig } from "vitest/config";

export default defineConfig({
  test: { include: ["*/src/**/*.bench.ts"], environment: "node", testTimeout: 180_000, disableConsoleIntercept: true },
});
