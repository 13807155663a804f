/** The fast tests that run in one process, for `npm run mutate`: nothing is compiled and no program is started. */
import { configDefaults, defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: [
      "base",
      "commands",
      "config",
      "estimates",
      "forecast",
      "journal",
      "notices",
      "observatory",
      "queue",
      "schedule",
    ].map((room) => `tests/${room}/**/*.test.ts`),
    exclude: [
      ...configDefaults.exclude,
      // These start programs, or the compiled workers.
      "tests/journal/kill.test.ts",
      "tests/journal/sqlite/{damage,lock}.test.ts",
      "tests/journal/postgres/**",
      "tests/base/worker.test.ts",
      "tests/forecast/pool.test.ts",
      "tests/contracts/**",
      // These play whole nights, which says little more about one line than the short ones do.
      "tests/estimates/forecast-equals-night.test.ts",
      "tests/forecast/{calibration,spread-theory,why-before}.test.ts",
      "tests/commands/hostile.test.ts",
    ],
    setupFiles: ["tests/set-up.ts"],
    // The mutator has a limit of its own.
    testTimeout: 600_000,
    isolate: false,
  },
});
