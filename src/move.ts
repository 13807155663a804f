/** `npm run move -- --from PLACE --to PLACE`: takes a journal from a data folder into a database, or back. */
import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { readProgramOptions } from "./base/command-line.js";
import { Refusal } from "./base/refusal.js";
import { loadConfig } from "./config/load.js";
import { moveJournal } from "./journal/move.js";
import { openStore, storeAt } from "./journal/open-store.js";
import { journalFiles } from "./journal/sqlite/files.js";
import type { OpenedStore } from "./journal/store.js";

const EXAMPLE = fileURLToPath(new URL("../config/tern-hollow.yaml", import.meta.url));

const USAGE = `npm run move -- --from PLACE --to PLACE [--config FILE]
  --from PLACE    where the journal is: a data folder, or postgres://user@host/database
  --to PLACE      where it shall go; nothing may be there yet
  --config FILE   the observatory, whose name the journal in a database has (default: config/tern-hollow.yaml)
The old journal stays as it is. Frames are files in the data folder and are not moved.`;

const OPTIONS = {
  from: { type: "string" },
  to: { type: "string" },
  config: { type: "string" },
  help: { type: "boolean" },
} as const;

async function move(): Promise<void> {
  const values = readProgramOptions(process.argv.slice(2), OPTIONS, USAGE);
  if (values.help) return say(USAGE);
  const { from, to } = values;
  if (from === undefined || to === undefined) {
    throw new Refusal(
      "bad-argument",
      "Name both places: npm run move -- --from data --to postgres://user@host/database.",
    );
  }
  if (!from.includes("://") && !existsSync(journalFiles(from).database)) {
    throw new Refusal("bad-argument", `There is no journal in ${from}: name the data folder that has one.`);
  }
  const { observatory } = loadConfig(values.config ?? EXAMPLE);
  const open = (place: string): Promise<OpenedStore> => openStore(storeAt(place, observatory.site.name));
  const { rows, entries } = await moveJournal(await open(from), await open(to));
  say(
    `Moved and compared: ${entries} entries, ${rows} rows. The journal at ${from} is as it was; it goes on at ${to}.`,
  );
}

function say(text: string): void {
  process.stdout.write(`${text}\n`);
}

move().catch((error: unknown) => {
  const known = error instanceof Refusal;
  process.stderr.write(
    `${known ? error.message : `The journal could not be moved: ${(error as Error).message}`}\n`,
  );
  process.exit(1);
});
