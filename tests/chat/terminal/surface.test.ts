/** The terminal as someone sees it: answers before what follows from them, and no line that spoils the next. */
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { PassThrough } from "node:stream";
import { afterEach, beforeEach, expect, test } from "vitest";
import { silentLog } from "../../../src/base/log.js";
import type { SurfaceHost } from "../../../src/chat/surface.js";
import { TerminalSurface } from "../../../src/chat/terminal/surface.js";
import type { Reply } from "../../../src/commands/reply.js";
import { loadConfig } from "../../../src/config/load.js";
import { findMember } from "../../../src/config/members.js";
import type { Notice } from "../../../src/journal/notice.js";
import { ManualClock } from "../../../src/tools/manual-clock.js";

const config = loadConfig("config/tern-hollow.yaml");
const mira = findMember(config, "terminal", "mira");
let folder = "";
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "terminal-"));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const reply = (title: string): Reply => ({ tone: "answer", title, lines: [] });

/** A terminal whose lines are answered by `runText`. */
async function opened(runText: SurfaceHost["runText"], dataFolder = folder) {
  const input = new PassThrough();
  const output = new PassThrough();
  let shown = "";
  output.on("data", (chunk) => (shown += chunk));
  const terminal = new TerminalSurface({
    input,
    output,
    interactive: false,
    timeZone: "UTC",
    asker: mira,
    findAsker: (who) => findMember(config, "terminal", who),
    onLeave: () => {},
  });
  const clock = new ManualClock(0);
  const host: Partial<SurfaceHost> = { runText, clock, log: silentLog, dataFolder, welcome: async () => {} };
  await terminal.start(host as SurfaceHost);
  const settled = async (): Promise<string> => {
    await new Promise<void>((done) => setImmediate(done));
    await terminal.idle();
    await new Promise<void>((done) => setImmediate(done));
    return shown;
  };
  return { terminal, type: (line: string) => input.write(`${line}\n`), settled };
}

function taken(): Notice {
  const notice: Partial<Notice> = {
    key: "1/class/taken",
    kind: "taken",
    audience: "class",
    classId: mira.classId,
    people: [mira.id],
    title: "#1 M31: the telescope is moving",
    lines: [],
    attachment: null,
  };
  return notice as Notice;
}

test("what follows from a line is told after the line is answered", async () => {
  let answer: (reply: Reply) => void = () => {};
  const { terminal, type, settled } = await opened(() => new Promise((done) => (answer = done)));
  type("/request M31");
  await new Promise<void>((done) => setImmediate(done));
  const delivered = terminal.deliver({ key: "1", notices: [taken()], maybeSent: false } as never);
  answer(reply("#1 M31: next in line"));
  await delivered;
  const shown = await settled();
  expect(shown.indexOf("next in line")).toBeGreaterThan(0);
  expect(shown.indexOf("the telescope is moving")).toBeGreaterThan(shown.indexOf("next in line"));
});

test("a line that cannot be answered is told in a sentence, and the next one is answered", async () => {
  let lines = 0;
  const { type, settled } = await opened(async () => {
    if (lines++ === 0) throw new Error("broken");
    return reply("Tonight");
  });
  type("/queue");
  type("/tonight");
  const shown = await settled();
  expect(shown).toContain("✗ Something went wrong here; the operator's log has the details.");
  expect(shown).toContain("• Tonight");
});

test("a picture that cannot be saved costs no answer", async () => {
  const blocked = join(folder, "file");
  writeFileSync(blocked, "");
  const picture = { png: new Uint8Array([1]), altText: "A chart.", fileName: "chart.png" };
  const { type, settled } = await opened(async () => ({ ...reply("Tonight"), picture }), blocked);
  type("/tonight");
  const shown = await settled();
  expect(shown).toContain("• Tonight");
  expect(shown).toContain("Picture: not saved, because the data folder refused it");
  expect(shown).toContain("It shows: A chart.");
});

test("frames are told with their places in the data folder", async () => {
  const request = { number: 3, frames: 2 };
  const frame = { index: 1, previewFile: "frames/3-1.png", imageFile: "frames/3-1.fits" };
  const told = { ...reply("#3 M57: completed"), frames: [{ request, frame }] } as unknown as Reply;
  const { type, settled } = await opened(async () => told);
  type("/when 3");
  const files = ["frames/3-1.png", "frames/3-1.fits"].map((file) => join(folder, file)).join(", ");
  expect(await settled()).toContain(`#3, frame 1 of 2: ${files}`);
});

test("/as without a name says who is possible", async () => {
  const { type, settled } = await opened(async () => reply("unused"));
  type("/as");
  expect(await settled()).toContain(
    "✗ Nobody was named: type student, instructor, operator or a name such as Mira, Tomas,",
  );
});
