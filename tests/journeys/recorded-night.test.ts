/** A seeded class evening, played through the whole program but for the screen; the record in demo-data is its transcript. */
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { PassThrough, Writable } from "node:stream";
import { afterAll, expect, test } from "vitest";
import { silentLog } from "../../src/base/log.js";
import { MINUTE, SECOND } from "../../src/base/units.js";
import { TERMINAL, TerminalSurface } from "../../src/chat/terminal/surface.js";
import type { Config } from "../../src/config/config.js";
import { loadConfig } from "../../src/config/load.js";
import { findMember } from "../../src/config/members.js";
import type { FrameRecord } from "../../src/journal/events.js";
import { openMemoryDesk } from "../../src/journal/open-desk.js";
import { deriveNotices } from "../../src/notices/derive.js";
import { CONFIGURED_OVERHEADS } from "../../src/observatory/observatory.js";
import { nightNamed } from "../../src/sky/night.js";
import { startClassmates } from "../../src/telescope/practice/classmates.js";
import { openFrames } from "../../src/telescope/practice/frames.js";
import { PracticeLink } from "../../src/telescope/practice/link.js";
import { practiceStart } from "../../src/telescope/practice/practice-night.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import { assemble } from "../../src/wiring/start.js";
import { venuesOf } from "../../src/wiring/surfaces.js";
import { temporaryFolder } from "./program.js";

const RECORD = "demo-data/class-evening.txt";
const folder = temporaryFolder();
afterAll(() => folder.remove());

/** What is typed, and how many seconds after dusk. */
const TYPED: readonly (readonly [number, string])[] = [
  [20, "/tonight"],
  [40, "/request M31 clear 20 2"],
  [45, "/when"],
  [60, "/request the sun"],
  [70, "/request Andromida"],
  [80, "/queue"],
  [9 * 60, "/mine"],
  [10 * 60, "/as instructor"],
  [10 * 60 + 10, "/hold cloud coming in from the west"],
  [14 * 60, "/resume"],
  [14 * 60 + 20, "/cancel group Birch the second half of the class starts after the break"],
  [14 * 60 + 40, "/undo"],
  [16 * 60, "/equipment camera away"],
  [20 * 60, "/equipment camera fitted"],
  [22 * 60, "/results"],
];

/** Of the others' frames nothing is told that depends on their size, and making them at full size is nearly all of the work. */
function withSmallFrames({ observatory, ...rest }: Config): Config {
  const camera = { ...observatory.camera, widthPixels: 512, heightPixels: 512 };
  return { ...rest, observatory: { ...observatory, camera } };
}

class Recorder extends Writable {
  text = "";
  override _write(chunk: Buffer, _encoding: string, done: () => void): void {
    this.text += chunk.toString("utf8");
    done();
  }
}

test("the recorded class evening is what the program says today", async () => {
  const config = loadConfig("config/tern-hollow.yaml");
  const noon = nightNamed("2026-10-14", config.observatory.site.timeZone).startUnixMs;
  const dusk = practiceStart(noon, 0, config.observatory);
  const clock = new ManualClock(dusk);
  const desk = openMemoryDesk({ clock, derive: deriveNotices(config, venuesOf(config)) });
  const output = new Recorder();
  const input = new PassThrough();
  const mira = findMember(config, TERMINAL, "mira");
  const frames = openFrames(config, folder.path);
  const smallFrames = openFrames(withSmallFrames(config), folder.path);
  const pending = new Set<Promise<FrameRecord>>();
  const terminal = new TerminalSurface({
    input,
    output,
    interactive: false,
    timeZone: config.observatory.site.timeZone,
    asker: mira,
    findAsker: (who) => findMember(config, TERMINAL, who),
    onLeave: () => {},
  });
  const running = await assemble({
    config,
    folder: folder.path,
    log: silentLog,
    clock,
    desk,
    surfaces: () => [terminal],
    link: () =>
      new PracticeLink({
        learned: () => CONFIGURED_OVERHEADS,
        pauseClock: () => () => {},
        makeFrame: (order) => {
          const isWatched = order.request.owner === mira.id;
          const made = (isWatched ? frames : smallFrames).makeFrame(order);
          pending.add(made);
          return made;
        },
      }),
  });
  const home = { surface: TERMINAL, channel: "main" };
  startClassmates(
    { config, catalogue: running.services.catalogue, clock, run: running.host.run, home, except: mira.id },
    dusk,
  );

  /** Nothing is left under way: frames made, answers given, estimates worked out, notices delivered. */
  const settle = async (): Promise<void> => {
    let entryId = desk.state.lastEntryId;
    for (let quiet = 0; quiet < 4; quiet++) {
      await Promise.allSettled(pending);
      pending.clear();
      await terminal.idle();
      await running.services.forecast.settled();
      await new Promise<void>((done) => setImmediate(done));
      if (desk.state.lastEntryId > entryId) quiet = 0;
      entryId = desk.state.lastEntryId;
    }
  };
  for (const [seconds, line] of TYPED) {
    await clock.moveTo(dusk + seconds * SECOND, settle);
    input.write(`${line}\n`);
    await new Promise<void>((done) => setImmediate(done));
    await settle();
  }
  await clock.moveTo(dusk + 25 * MINUTE, settle);
  await running.stop();

  const transcript = output.text.replaceAll(folder.path, "data");
  if (process.env.UPDATE_DEMO) {
    mkdirSync("demo-data", { recursive: true });
    writeFileSync(RECORD, transcript);
    const frame = [...desk.state.frames.values()].flat().find((each) => each.previewFile);
    if (frame?.previewFile)
      writeFileSync("demo-data/frame.png", readFileSync(join(folder.path, frame.previewFile)));
  }
  expect(asRead(transcript)).toEqual(asRead(readFileSync(RECORD, "utf8")));
}, 300_000);

/** Lines, but for an entry's number: several deliveries may stand in one entry or in two. */
function asRead(text: string): string[] {
  return text.replaceAll(/\/undo c\d+/g, "/undo c…").split("\n");
}
