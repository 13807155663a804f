/** The fast tests that run in one process, for `npm run mutate`: nothing is compiled and no program is started. */
import { configDefaults, defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: ["base", "commands", "estimates", "forecast", "journal", "notices", "observatory", "queue"].map(
      (room) => `tests/${room}/**/*.test.ts`,
    ),
    exclude: [
      ...configDefaults.exclude,
      // These start programs or the compiled workers, or wait for the disk.
      "tests/journal/{kill,forget}.test.ts",
      "tests/journal/sqlite/**",
      "tests/forecast/pool.test.ts",
      // These play whole nights, which says little more about one line than the short ones do.
      "tests/estimates/forecast-equals-night.test.ts",
      "tests/forecast/{calibration,spread-theory,why-before}.test.ts",
      "tests/commands/hostile.test.ts",
    ],
    setupFiles: ["tests/set-up.ts"],
    testTimeout: 60_000,
    isolate: false,
  },
});
