/** `npm run check`: looks over the configuration, the telescope and the set-up of the surfaces, and says what to mend where. */
import { fileURLToPath } from "node:url";
import { Refusal } from "./base/refusal.js";
import { doubtsOf } from "./config/doubts.js";
import { loadConfig } from "./config/load.js";
import { readArguments } from "./wiring/arguments.js";
import { checkSurfaces } from "./wiring/surfaces.js";
import { checkTelescope } from "./wiring/telescopes.js";

const EXAMPLE = fileURLToPath(new URL("../config/tern-hollow.yaml", import.meta.url));

async function check(): Promise<boolean> {
  const { config: path } = readArguments(process.argv.slice(2), EXAMPLE);
  const config = loadConfig(path);
  const parts = [await checkTelescope(config), await checkSurfaces(config)];
  const doubts = doubtsOf(config).map((each) => `look   ${each}`);
  const lines = [...doubts, ...parts.flatMap((part) => part.lines)];
  process.stdout.write(`${[`right  The configuration ${path} can be used.`, ...lines].join("\n")}\n`);
  return parts.every(({ ok }) => ok);
}

check().then(
  (ok) => process.exit(ok ? 0 : 1),
  (error: unknown) => {
    const known = error instanceof Refusal;
    process.stderr.write(
      `${known ? error.message : `The check could not finish: ${(error as Error).message}`}\n`,
    );
    process.exit(1);
  },
);
