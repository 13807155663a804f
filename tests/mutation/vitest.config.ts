/** The fast tests that run in one process, for `npm run mutate`. */
import { configDefaults, defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: [
      ...[
        ...["base", "commands", "config", "estimates", "forecast", "journal", "notices"],
        ...["observatory", "queue", "schedule", "telescope/{hook,folder}", "wiring"],
      ].map((room) => `tests/${room}/**/*.test.ts`),
      "tests/telescope/*.test.ts",
    ],
    exclude: [
      ...configDefaults.exclude,
      // These only start programs, the compiled workers or a database.
      "tests/journal/kill.test.ts",
      "tests/journal/postgres/**",
      "tests/base/worker.test.ts",
      "tests/forecast/pool.test.ts",
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
