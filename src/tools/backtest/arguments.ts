/** The command line of `npm run backtest -- …`. */
import { availableParallelism } from "node:os";
import { readProgramOptions } from "../../base/command-line.js";
import { Refusal } from "../../base/refusal.js";

export interface Arguments {
  readonly nights: number;
  readonly seed: number;
  /** Runs in each spread; null: as many as the class gets. */
  readonly runs: number | null;
  /** File of truth parameters; null for those shipped. */
  readonly truth: string | null;
  /** Every truth that is shipped, one after another. */
  readonly all: boolean;
  /** Answers on which the oracle is asked too. */
  readonly oracle: number;
  /** Sites of one night each. */
  readonly firstNights: number;
  /** Worked on at once. */
  readonly cores: number;
  readonly json: boolean;
  readonly help: boolean;
}

export const USAGE = `npm run backtest -- [options]
  --nights N     nights to play, shared out among the sites (default: 500)
  --seed N       another seed gives other nights of the same kind (default: 1)
  --runs N       runs in each spread, 50 to 5000 (default: as many as the class gets, 300)
  --truth FILE   other parameters of the truth; see src/tools/backtest/truth/default.yaml
  --all          every shipped truth in one table; as many nights each
  --oracle N     N answers beside those of the same engine fed with the truth's own laws (default: 1500)
  --first N      N sites of one night each, for what a stranger can be told (default: 100)
  --cores N      worked on at once (default: all)
  --json         one object instead of a table (npm run -s backtest -- --json prints nothing else)
  --help         this text`;

const MOST_NIGHTS = 100_000;
const MOST_ANSWERS = 10_000_000;
const MOST_CORES = 256;
/** As in the configuration. */
const LEAST_RUNS = 50;
const MOST_RUNS = 5_000;

const OPTIONS = {
  nights: { type: "string" },
  seed: { type: "string" },
  runs: { type: "string" },
  truth: { type: "string" },
  all: { type: "boolean" },
  oracle: { type: "string" },
  first: { type: "string" },
  cores: { type: "string" },
  json: { type: "boolean" },
  help: { type: "boolean", short: "h" },
} as const;

/** Reads the arguments after the program's name. @throws {Refusal} code "bad-argument" */
export function readArguments(argv: readonly string[]): Arguments {
  const values = readProgramOptions(argv, OPTIONS, USAGE);
  return {
    nights: wholeNumber("nights", values.nights ?? "500", 1, MOST_NIGHTS),
    seed: wholeNumber("seed", values.seed ?? "1", 0, 2 ** 31 - 1),
    runs: values.runs === undefined ? null : wholeNumber("runs", values.runs, LEAST_RUNS, MOST_RUNS),
    truth: values.truth ?? null,
    all: values.all === true,
    oracle: wholeNumber("oracle", values.oracle ?? "1500", 0, MOST_ANSWERS),
    firstNights: wholeNumber("first", values.first ?? "100", 0, MOST_NIGHTS),
    cores: wholeNumber("cores", values.cores ?? String(availableParallelism()), 1, MOST_CORES),
    json: values.json === true,
    help: values.help === true,
  };
}

function wholeNumber(name: string, text: string, least: number, most: number): number {
  const value = Number(text);
  if (text.trim() !== "" && Number.isInteger(value) && value >= least && value <= most) return value;
  throw new Refusal("bad-argument", `--${name} ${text}: give a whole number from ${least} to ${most}.`);
}
