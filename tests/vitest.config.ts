import { defineConfig } from "vitest/config";
import { BaseSequencer, type TestSpecification } from "vitest/node";

/** These start programs: minutes for one file. */
const LONG =
  /\/tests\/(journeys|journal\/kill|chat\/discord\/(kill|load|program)|chat\/room\/browser|telescope\/device\/simulators)/;

/** The long ones first, so that none of them is left over when everything else is done. */
class LongFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const sorted = await super.sort(files);
    const isLong = ({ moduleId }: TestSpecification): boolean => LONG.test(moduleId);
    return [...sorted.filter(isLong), ...sorted.filter((file) => !isLong(file))];
  }
}

export default defineConfig({
  root: new URL("..", import.meta.url).pathname,
  test: {
    include: ["tests/**/*.test.ts"],
    globalSetup: "tests/build-first.ts",
    setupFiles: ["tests/set-up.ts"],
    sequence: { sequencer: LongFirst },
    // Nothing takes so long by itself; a machine that has much else to do may make it.
    testTimeout: 180_000,
    hookTimeout: 180_000,
    expect: { poll: { timeout: 60_000 } },
    pool: "forks",
    // No test changes what a module holds, so files share what is loaded; loading it for each cost as much as testing.
    isolate: false,
    // Two cores are what a small machine has; journeys and simulators mostly wait, so that a third finds time.
    maxWorkers: 3,
  },
});
