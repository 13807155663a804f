/** What is mistyped on the command line is answered with one sentence and what is possible. */
import { describe, expect, it } from "vitest";
import { readProgramOptions } from "../../src/base/command-line.js";
import { readArguments as backtestArguments } from "../../src/tools/backtest/arguments.js";
import { readArguments } from "../../src/wiring/arguments.js";

const OPTIONS = { seed: { type: "string" }, quiet: { type: "boolean", short: "q" } } as const;
const read = (...argv: string[]) => readProgramOptions(argv, OPTIONS, "USAGE");

describe("a command line", () => {
  it.each([
    [["--seed", "-1"], "-1"],
    [["--seed", "-.5", "--quiet"], "-.5"],
    [["--seed=-1"], "-1"],
    [["-q", "--seed", "7"], "7"],
  ])("%j gives the seed %s", (argv, seed) => {
    expect(read(...argv).seed).toBe(seed);
  });

  it.each([
    [["--seed"], "--seed needs a value. These are possible:\nUSAGE"],
    [["--seed", "--quiet"], "--seed needs a value. These are possible:\nUSAGE"],
    [["--sed", "3"], "Unknown option '--sed'. These are possible:\nUSAGE"],
    [["more"], "Unexpected argument 'more'. These are possible:\nUSAGE"],
    [["--quiet", "-1"], "Unknown option '-1'. These are possible:\nUSAGE"],
  ])("%j is refused in one sentence", (argv, message) => {
    expect(() => read(...argv)).toThrow(expect.objectContaining({ code: "bad-argument", message }));
  });

  it("says what number is wanted where a negative one is given", () => {
    expect(() => backtestArguments(["--seed", "-1"])).toThrow(
      "--seed -1: give a whole number from 0 to 2147483647.",
    );
    expect(() => readArguments(["--speed", "-1"], "x.yaml")).toThrow(
      "--speed -1: give a number from 1 to 3600.",
    );
  });

  it("wants a name for the data folder", () => {
    expect(readArguments(["--data", "evening"], "x.yaml").data).toBe("evening");
    expect(() => readArguments(["--data", " "], "x.yaml")).toThrow(
      "--data names no folder: give one, such as --data evening-2.",
    );
  });
});
