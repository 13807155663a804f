/** What a page always has in view: telescope, hold, run order, own requests, the sky. */
import { expect, test } from "vitest";
import { doingWords } from "../../../src/chat/room/page/now/scope-words.js";
import { standing } from "../../../src/chat/room/page/sky/projection.js";
import type { WireHand } from "../../../src/chat/room/wire.js";
import { nightOf } from "../../../src/sky/night.js";
import { horizontalOf, trackOf } from "../../../src/sky/track.js";
import { operatedTraits } from "../../../src/telescope/operated.js";
import { DUSK, idle, openRoom } from "./open-room.js";

const LOOK_MS = 1_100;

test("a page that comes in knows who it is, what it may do, and the observatory's clock", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova", { group: "Birch" });
  const hello = await page.message("hello");
  expect(hello.me).toEqual({ id: "room:nova", name: "Nova", role: "student", group: "Birch" });
  expect(hello.clock).toEqual({ now: DUSK, speed: 1 });
  expect(hello.site).toMatchObject({ name: "Tern Hollow Observatory", altitudeLimit: 20, simulated: true });
  expect(hello.site.mask).toHaveLength(72);
  expect(hello.commands.map(({ name }) => name)).toContain("request");
});

test("an instructor gets every command of the table, and how to let people in", async () => {
  const room = await openRoom();
  const page = await room.enter("Dr Vale", { pass: room.pass });
  const hello = await page.message("hello");
  const names = hello.commands.map(({ name }) => name);
  expect(names).toEqual(
    expect.arrayContaining(["announce", "cancel", "undo", "hold", "resume", "rule", "results"]),
  );
  expect(hello.entry).toMatchObject({ code: "TEST-CODE", open: false, qr: [] });
});

test("what the telescope does is shown as it changes", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  room.status = {
    ...idle(),
    activity: "moving",
    waitingFor: "dome",
    domeDegreesLeft: 41.26,
    domeAzimuthDegrees: 12,
  };
  await room.real.moveTo(room.real.now() + LOOK_MS);
  const { status } = (await page.until(() =>
    page.heard.findLast((each) => each.t === "status" && each.status.activity === "moving" && each),
  )) as never;
  expect(status).toMatchObject({ waitingFor: "dome", domeLeft: 41.3, slit: { azimuth: 12 } });
  expect(doingWords(status, DUSK)).toBe("Dome turning, 41° left");
});

test("staff of a telescope that is worked by hand have what to observe before them, and nobody else has", async () => {
  const room = await openRoom();
  const student = await room.enter("Nova");
  const staff = await room.enter("Dr Vale", { pass: room.pass });
  await student.run("/request M31 clear 20 1");
  const taken = {
    number: 1,
    freeUnixMs: DUSK + 120_000,
    altitudeDegrees: 60,
    airmass: 1.15,
    pointingAfter: null,
  };
  await room.happen({ type: "request.taken", ...taken });
  room.status = { ...idle(), traits: operatedTraits };
  await room.real.moveTo(room.real.now() + LOOK_MS);
  const { hand } = (await staff.until(() =>
    staff.heard.findLast((each) => each.t === "hand" && each),
  )) as never as {
    hand: WireHand;
  };
  expect(hand.title).toBe("Under way: #1 Andromeda Galaxy (M31)");
  expect(hand.actions.map(({ label }) => label)).toEqual(["Done", "Failed", "Stopped"]);
  expect(hand.actions[0]).toMatchObject({ command: "mark", options: { request: "1", what: "done" } });
  expect(student.heard.some(({ t }) => t === "hand")).toBe(false);
});

test("exposing says how many seconds of how many", () => {
  const status = { activity: "exposing", exposure: 20, since: DUSK, frame: 2, frames: 5 };
  expect(doingWords(status as never, DUSK + 12_400)).toBe("Exposing frame 2 of 5: 12 of 20\u00a0s");
  expect(doingWords(status as never, DUSK + 99_000)).toBe("Exposing frame 2 of 5: 20 of 20\u00a0s");
});

test("one's own requests carry place, start and range; the class sees who asked", async () => {
  const room = await openRoom();
  const [nova, rune] = [await room.enter("Nova"), await room.enter("Rune")];
  await nova.run("/request M31 clear 20 1");
  await rune.run("/request M15 clear 20 1");
  await room.real.moveTo(room.real.now() + LOOK_MS);
  const own = await rune.until(() =>
    rune.heard.findLast((each) => each.t === "own" && each.requests.length > 0),
  );
  expect(own).toMatchObject({ requests: [{ number: 2, label: "#2 M15", place: 2, start: DUSK + 600_000 }] });
  const order = await rune.message("order");
  expect(order.rows.map(({ number, who, ids }) => [number, who, ids])).toEqual([
    [1, "Nova", ["room:nova"]],
    [2, "Rune", ["room:rune"]],
  ]);
});

test("what has not changed is not sent again", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  const before = page.heard.length;
  for (let count = 0; count < 8; count++) {
    await room.clock.moveTo(room.clock.now() + LOOK_MS);
    await room.real.moveTo(room.real.now() + LOOK_MS);
  }
  await page.run("/help");
  const since = page.heard.slice(before).map(({ t }) => t);
  expect(since.filter((t) => t === "order" || t === "own" || t === "sky")).toEqual([]);
  expect(since.filter((t) => t === "status").length).toBeGreaterThan(0);
});

test("a hold is in view with its reason", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  const hold = { reason: "people in the dome", by: "room:x", sinceUnixMs: DUSK, untilUnixMs: null };
  await room.happen({ type: "hold.placed", hold });
  await room.real.moveTo(room.real.now() + LOOK_MS);
  const held = await page.until(() =>
    page.heard.findLast((each) => each.t === "status" && each.status.hold !== null),
  );
  expect(held).toMatchObject({ status: { hold: { reason: "people in the dome", until: null } } });
});

test("people of another class are counted, not shown", async () => {
  const room = await openRoom();
  const home = { surface: "discord", channel: "1" };
  const stranger = {
    id: "discord:1",
    name: "Stranger",
    classId: "other",
    role: "student",
    group: null,
    home,
  } as const;
  await room.happen({ type: "person.joined", person: stranger });
  const target = room.services.catalogue.byId("M31");
  const wish = {
    target: target!,
    filter: "V",
    exposureSeconds: 10,
    frames: 1,
    notBeforeUnixMs: null,
    note: "secret",
  };
  for (const number of [1, 2]) {
    await room.happen({
      type: "request.made",
      number,
      wish,
      owner: stranger.id,
      classId: "other",
      group: null,
      tier: 1,
      via: home,
    });
  }
  const page = await room.enter("Nova");
  const order = await page.message("order");
  expect(order.rows).toMatchObject([{ number: null, label: "2 of other classes", who: "", ids: [] }]);
  expect(JSON.stringify(page.heard)).not.toMatch(/Stranger|secret/);
});

test("the drawn sky stands where the observatory's own computation puts it, hours later too", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  await page.run("/request M31 clear 20 1");
  await room.real.moveTo(room.real.now() + LOOK_MS);
  const sky = await page.until(() =>
    page.heard.flatMap((each) => (each.t === "sky" && each.targets.length > 0 ? [each] : [])).at(-1),
  );
  const { site } = room.services.config.observatory;
  const m31 = room.services.catalogue.byId("M31")!;
  const track = trackOf(m31, nightOf(DUSK, site.timeZone), site);
  for (const hours of [0, 1, 5.5]) {
    const drawn = standing(sky.targets[0]!, hours, site.latitudeDegrees);
    const right = horizontalOf(track, sky.clock.now + hours * 3_600_000);
    expect(Math.abs(drawn.altitude - right.altitudeDegrees)).toBeLessThan(0.05);
    expect(Math.abs(drawn.azimuth - right.azimuthDegrees) * Math.cos(drawn.altitude / 57.3)).toBeLessThan(
      0.1,
    );
  }
  expect(sky.moon).toMatchObject({ label: "Moon" });
  expect((await page.message("stars")).stars.length).toBeGreaterThan(40);
});

test("plain words are understood, and completion knows what stands high now", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  await page.run("/request M31 clear 20 1");
  expect((await page.run("When will mine run?")).title).toContain("#1 M31");
  page.send({ t: "suggest", id: "s", command: "request", option: "target", typed: "M3" });
  const { items } = await page.message("suggestions");
  expect(items.some(({ label }) => /\d+° up/.test(label))).toBe(true);
});
