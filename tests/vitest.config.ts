import { defineConfig } from "vitest/config";

export default defineConfig({
  root: new URL("..", import.meta.url).pathname,
  test: {
    include: ["tests/**/*.test.ts"],
    globalSetup: "tests/build-first.ts",
    setupFiles: ["tests/set-up.ts"],
    testTimeout: 60_000,
    hookTimeout: 60_000,
    pool: "forks",
    // Journeys and browsers start real processes; two at a time is what a small machine bears.
    maxWorkers: 2,
  },
});
