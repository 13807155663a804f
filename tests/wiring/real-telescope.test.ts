/** Nothing of practice shows under a telescope that really moves, wherever people look. */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { ScaledClock } from "../../src/base/clock.js";
import { silentLog } from "../../src/base/log.js";
import { MINUTE } from "../../src/base/units.js";
import { renderNotices } from "../../src/chat/discord/deliver/render-notice.js";
import { renderReply } from "../../src/chat/discord/hear/render-reply.js";
import { commandBodies } from "../../src/chat/discord/set-up/registration.js";
import { helloFor } from "../../src/chat/room/live/hello.js";
import { framesByPerson, orderFor } from "../../src/chat/room/live/live-order.js";
import { statusFor } from "../../src/chat/room/live/live-status.js";
import { wireReply } from "../../src/chat/room/live/to-wire.js";
import { noticeText, replyText } from "../../src/chat/terminal/render.js";
import { commandTable } from "../../src/commands/table.js";
import type { Config } from "../../src/config/config.js";
import { loadConfig } from "../../src/config/load.js";
import type { Equipment, NightslateEvent, Verdict } from "../../src/journal/events.js";
import { boardFor } from "../../src/notices/board.js";
import { SECRET_VARIABLE } from "../../src/telescope/hook/secret.js";
import { hostFor } from "../../src/wiring/host.js";
import { checkTelescope, telescopeOf } from "../../src/wiring/telescopes.js";
import { bannerText } from "../../src/wiring/welcome.js";
import { mira, okoro, openWorld, quill, read, text, type World } from "../commands/world.js";
import { deviceConfig } from "../telescope/device/scripted-server.js";
import { SECRET } from "../telescope/hook/signed.js";

const PRACTICE = /practi[cs]e|simulat|synthetic|invented|rehears|computed and not taken|\bfaster than\b/i;
const LINKS = ["by-hand", "folder", "hook", "device"] as const;
const example = loadConfig("config/tern-hollow.yaml");
const folder = mkdtempSync(join(tmpdir(), "real-"));
beforeAll(() => {
  process.env[SECRET_VARIABLE] = SECRET;
});
afterAll(() => {
  delete process.env[SECRET_VARIABLE];
  rmSync(folder, { recursive: true, force: true });
});

function joinedBy(link: (typeof LINKS)[number]): Config["telescope"] {
  const hook = { ...example.telescope.hook, port: 0 };
  const watched = { path: folder, toleranceDegrees: null, wholeSeconds: 5 };
  return { ...example.telescope, link, hook, folder: watched, device: { ...deviceConfig, port: 1 } };
}

async function worldOf(link: (typeof LINKS)[number]): Promise<World> {
  const telescope = joinedBy(link);
  const world = openWorld("2026-11-25T20:00", (config) => ({ ...config, telescope }), true);
  const { link: linkOn } = await telescopeOf({ ...example, telescope }, folder, null);
  const { traits } = linkOn(new ScaledClock(0, 1));
  world.status = { ...world.status, traits };
  return world;
}

/** Every text in a value, without the names of its keys. */
function texts(value: unknown): string[] {
  if (typeof value === "string") return [value];
  return value !== null && typeof value === "object" ? Object.values(value).flatMap(texts) : [];
}

const style = { timeZone: "America/Chicago", effects: false, nameOf: (id: string) => id } as never;

/** What a reply is on every surface. */
function everywhere(reply: Awaited<ReturnType<World["type"]>>): string {
  const wire = wireReply(reply, String, () => "");
  const message = renderReply(reply, { nameOf: String, uploadBytes: 1e6 });
  return [read(reply), replyText(reply, style), ...texts(wire), ...texts(message)].join("\n");
}

const frame = (index: number, verdict: Verdict) => ({
  ...{ index, startUnixMs: 0, exposureSeconds: 20, filter: "V", imageFile: "f.fits", previewFile: "f.png" },
  ...{ verdict, simulated: false },
});
const judged = (because: "no-camera" | "dome-shut" | "cloud"): Verdict => ({
  ...{ is: "black", because, sunAltitudeDegrees: -40, medianAdu: 1003, starsExpected: 40, starsSeen: 1 },
});
const usable: Verdict = { is: "usable", starsSeen: 143, backgroundElectrons: 210 };

/** An evening with one of everything that people are told of. */
async function evening(world: World): Promise<void> {
  const happen = (...events: NightslateEvent[]): Promise<void> => world.happen(() => events);
  const now = world.clock.now();
  const taken = (number: number): NightslateEvent => ({
    ...{ type: "request.taken", number, freeUnixMs: now + 3 * MINUTE },
    ...{ altitudeDegrees: 61.7, airmass: 1.135, pointingAfter: null },
  });
  for (const { id, name, classId, role } of [mira, okoro, quill]) {
    const home = { surface: "terminal", channel: "main" };
    await happen({ type: "person.joined", person: { id, name, classId, role, group: null, home } });
  }
  for (const target of ["M31", "M33", "M15", "M2"]) await world.type(`/request ${target} clear 20 2`, mira);
  await happen(
    { type: "night.began", date: "2026-11-25", carriedOver: [1] },
    { type: "request.next", number: 1, startUnixMs: now },
  );
  await happen(taken(1));
  await happen({ type: "frame.done", number: 1, frame: frame(1, judged("no-camera")) });
  await happen({ type: "frame.done", number: 1, frame: frame(2, judged("dome-shut")) });
  await happen({ type: "request.completed", number: 1 }, taken(2));
  await happen(
    { type: "frame.done", number: 2, frame: frame(1, usable) },
    { type: "request.completed", number: 2 },
  );
  await happen(taken(3), { type: "action.overdue", number: 3 });
  await happen({ type: "request.failed", number: 3, reason: "the mount does not answer" });
  await happen({ type: "disk.short", neededBytes: 1e9, freeBytes: 1e6 }, { type: "disk.mended" });
  await happen({ type: "frames.unplaced", files: [{ name: "a.fits", why: "it fits none" }], total: 1 });
  const { equipment } = world.services.desk.state;
  const changes: Partial<Equipment>[] = [
    ...(["fault", "ready"] as const).map((telescope) => ({ telescope })),
    ...(["kept-shut", "shut", "open", "fault", "open"] as const).map((dome) => ({ dome })),
    ...(["fault", "fitted", "away"] as const).map((camera) => ({ camera })),
  ];
  for (const change of changes)
    for (const by of [okoro.id, null])
      await happen({ type: "equipment.changed", equipment: { ...equipment, ...change }, by });
  await happen({ type: "dusk.noted", date: "2026-11-25" }, { type: "morning.summed", date: "2026-11-25" });
  for (const [asker, line] of [
    [okoro, "/hold people in the dome"],
    [okoro, "/resume nobody in the dome"],
    [quill, "/session open"],
    [quill, "/announce Look west"],
    [quill, "/cancel 4 wind"],
    [quill, "/undo"],
    [quill, "/return 3"],
    [okoro, "/hold wind"],
  ] as const)
    await world.type(line, asker);
}

test.each(LINKS)("under %s: notices, board, wall and page, banner, start and check", async (link) => {
  const world = await worldOf(link);
  await evening(world);
  const { services } = world;
  const notices = [...services.desk.state.outbox.values()];
  expect(new Set(notices.map(({ kind }) => kind)).size).toBe(14);
  const options = {
    nameOf: String,
    wantsMention: () => true,
    direct: false,
    files: new Map(),
    postscript: null,
  };
  const shown = [
    ...notices.map((notice) => noticeText(notice, style, true, folder)),
    ...texts(
      notices.map((notice) => renderNotices(notice.key, [notice], options).map(({ message }) => message)),
    ),
    ...texts([...boardFor(services, "evening-2").lines.map(text)]),
    ...[mira, okoro, quill].flatMap((asker) =>
      texts(helloFor(asker, hostFor(services, silentLog, folder), "evening-2", "b", null)),
    ),
    ...texts(statusFor(services, "evening-2")),
    ...texts({ ...orderFor(services, "evening-2"), byPerson: null }),
    ...texts([...framesByPerson(services, "evening-2").values()]),
    bannerText({ ...services, clock: Object.assign(Object.create(services.clock), { speed: 1 }) }, {
      ...mira,
      surface: "terminal",
    } as never),
    ...(await checkTelescope(services.config)).lines,
  ];
  for (const each of shown) expect(each).not.toMatch(PRACTICE);
  expect(helloFor(mira, hostFor(services, silentLog, folder), "evening-2", "b", null).site).toMatchObject({
    simulated: false,
    clockName: null,
  });
});

test.each(LINKS)("under %s: what every command answers, on every surface", async (link) => {
  const world = await worldOf(link);
  await evening(world);
  for (const { name, examples, who, slow } of commandTable) {
    const asker = { student: mira, operator: okoro, instructor: quill }[who];
    // What takes long to draw is the same under every link.
    const lines = slow && link !== "by-hand" ? [] : examples;
    for (const line of [...lines, `/help ${name}`])
      expect(`${line}: ${everywhere(await world.type(line, asker))}`).not.toMatch(PRACTICE);
  }
});

test("what a chat platform's lists say of the commands", () => {
  const place = { staffPermission: "ManageMessages" } as never;
  for (const each of texts(commandBodies({ table: commandTable, filters: ["V"] }, place)))
    expect(each).not.toMatch(PRACTICE);
});
