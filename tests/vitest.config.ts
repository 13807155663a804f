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
    // No test changes what a module holds, so files share what is loaded; loading it for each cost as much as testing.
    isolate: false,
    // Journeys and browsers start real processes; two at a time is what a small machine bears.
    maxWorkers: 2,
  },
});
