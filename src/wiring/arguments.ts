/** The command line of `npm start -- …`. */
import { readProgramOptions } from "../base/command-line.js";
import { Refusal } from "../base/refusal.js";

export interface Arguments {
  readonly config: string;
  /** Who the terminal's first person is: a member's id or name, "student", "instructor" or "operator"; null: the first member. */
  readonly as: string | null;
  readonly data: string | null;
  readonly speed: number | null;
  readonly terminal: boolean;
  readonly room: boolean;
  /** Opens the room to the local network. */
  readonly lan: boolean;
  /** Waits until the program that has the journal ends, and takes over. */
  readonly standby: boolean;
  readonly help: boolean;
}

export const USAGE = `npm start -- [options]
  --as WHO         type as WHO: a class member's name, student, instructor or operator (default: the first student)
  --config FILE    the observatory and the class (default: config/tern-hollow.yaml)
  --data FOLDER    where the journal and the frames are kept (default: the configuration's dataFolder)
  --speed N        seconds of the practice telescope for one real second, 1 to 3600
  --no-terminal    no typing here: for a server that runs unattended
  --no-room        no web room
  --lan            let phones on the same network into the room
  --standby        wait while another Nightslate has the journal, and take over when it ends (store: postgres://…)
  --help           this text`;

const OPTIONS = {
  config: { type: "string" },
  as: { type: "string" },
  data: { type: "string" },
  speed: { type: "string" },
  "no-terminal": { type: "boolean" },
  "no-room": { type: "boolean" },
  lan: { type: "boolean" },
  standby: { type: "boolean" },
  help: { type: "boolean", short: "h" },
} as const;

/**
 * Reads the arguments after the program's name.
 * @throws {Refusal} code "bad-argument", saying which and what is possible
 */
export function readArguments(argv: readonly string[], defaultConfig: string): Arguments {
  const values = readProgramOptions(argv, OPTIONS, USAGE);
  return {
    config: values.config ?? defaultConfig,
    as: values.as ?? null,
    data: readFolder(values.data),
    speed: readSpeed(values.speed),
    terminal: values["no-terminal"] !== true,
    room: values["no-room"] !== true,
    lan: values.lan === true,
    standby: values.standby === true,
    help: values.help === true,
  };
}

function readFolder(text: string | undefined): string | null {
  if (text === undefined) return null;
  if (text.trim() !== "") return text;
  throw new Refusal("bad-argument", "--data names no folder: give one, such as --data evening-2.");
}

function readSpeed(text: string | undefined): number | null {
  if (text === undefined) return null;
  const speed = Number(text);
  if (!(speed >= 1 && speed <= 3600)) {
    throw new Refusal("bad-argument", `--speed ${text}: give a number from 1 to 3600.`);
  }
  return speed;
}
