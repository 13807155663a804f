/**
 * A process that makes requests on a folder (or a database, by its address) as fast as it can and prints the number of
 * each once it is acknowledged.
 *
 *   node keep-asking.mjs PLACE RUN [plant]
 *
 * plant "standby": waits for its turn while another is the writer.
 * plant "acknowledge-first": prints a number before its request is stored and dies in between.
 * plant "store-first": stores, and dies before it prints.
 */
import { writeSync } from "node:fs";
import { systemClock } from "../../dist/base/clock.js";
import { silentLog } from "../../dist/base/log.js";
import { openDesk } from "../../dist/journal/open-desk.js";
import { readPostgresPlace } from "../../dist/journal/postgres/place.js";

const [folder, run, plant] = process.argv.slice(2);
const say = (line) => writeSync(1, `${line}\n`);

const standsInDatabase = folder.startsWith("postgres:");
const store = standsInDatabase
  ? { kind: "postgres", ...readPostgresPlace(folder, "Tern Hollow") }
  : { kind: "sqlite", folder };
const standby = plant === "standby" ? { standby: () => say("standing by") } : {};
const ended = (sentence) => {
  say(`deposed ${sentence}`);
  process.exit(4);
};
const parts = { store, clock: systemClock(), derive: noticeOfEach, log: silentLog, deposed: ended };
const desk = await openDesk({ ...parts, ...standby }).catch((error) => {
  say(`refused ${error.code}: ${error.message}`);
  process.exit(3);
});
say("open");
if (plant === "acknowledge-first") {
  say(`${desk.state.nextNumber} ${run}-1`);
  const dying = ask(1);
  process.kill(process.pid, "SIGKILL");
  await dying;
} else if (plant === "store-first") {
  await ask(1);
  process.kill(process.pid, "SIGKILL");
}
for (let turn = 1; ; ) {
  const burst = 1 + (turn % 4);
  const acts = Array.from({ length: burst }, () => ask(turn++));
  const settled = await Promise.allSettled(acts);
  for (const { value, reason } of settled) {
    if (value) say(`${value.number} ${value.note}`);
    // A database that is away or another's: told as deposed, or over after a while.
    else if (!standsInDatabase) throw reason;
  }
  // Lets the parent's signals and pipes have their turn, as a server would.
  await new Promise((done) => setImmediate(done));
}

async function ask(turn) {
  const note = `${run}-${turn}`;
  const { entry } = await desk.act((state) => [requestMade(state.nextNumber, note)], {
    by: "terminal:mira",
    onceKey: note,
  });
  return { number: entry.events[0].number, note };
}

function requestMade(number, note) {
  const target = {
    kind: "fixed",
    id: "M13",
    name: "Great Cluster in Hercules (M13)",
    type: "globular cluster",
    raDegrees: 250.42,
    decDegrees: 36.46,
    magnitude: 5.8,
    sizeArcminutes: 20,
  };
  const wish = { target, filter: "V", exposureSeconds: 20, frames: 1, notBeforeUnixMs: null, note };
  const via = { surface: "terminal", channel: "class" };
  return {
    type: "request.made",
    number,
    wish,
    owner: "terminal:mira",
    classId: "evening-2",
    group: null,
    tier: 1,
    via,
  };
}

function noticeOfEach(entry) {
  return [
    {
      key: `${entry.id}:made`,
      kind: "next",
      atUnixMs: entry.atUnixMs,
      to: { surface: "terminal", channel: "class" },
      classId: "evening-2",
      people: ["terminal:mira"],
      audience: "class",
      title: "Noted",
      lines: [["Your request is noted."]],
      attachment: null,
      quiet: false,
      actions: [],
    },
  ];
}
