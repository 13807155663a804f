/** The fast tests that run in one process, for `npm run mutate`. */
import { configDefaults, defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: [
      ...[
        "base",
        "commands",
        "config",
        "estimates",
        "forecast",
        "journal",
        "notices",
        "observatory",
        "queue",
      ],
      ...["schedule", "wiring"],
    ].map((room) => `tests/${room}/**/*.test.ts`),
    exclude: [
      ...configDefaults.exclude,
      // These only start programs, the compiled workers or a database.
      "tests/journal/kill.test.ts",
      "tests/journal/postgres/**",
      "tests/base/worker.test.ts",
      "tests/forecast/pool.test.ts",
      // These play whole nights, or wait for the disk: too long for one change among a thousand.
      "tests/estimates/forecast-equals-night.test.ts",
      "tests/forecast/{calibration,spread-theory,why-before}.test.ts",
      "tests/commands/hostile.test.ts",
      "tests/commands/plan/plan.test.ts",
      "tests/journal/sqlite/{damage,lock}.test.ts",
      "tests/notices/outbox-crash.test.ts",
      "tests/schedule/{cron-times,run-schedule}.test.ts",
      "tests/wiring/real-telescope.test.ts",
    ],
    setupFiles: ["tests/set-up.ts"],
    testTimeout: 120_000,
    isolate: false,
  },
});
