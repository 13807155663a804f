/** What strangers, other sites and broken or hostile pages can do: nothing much. */
import { mkdirSync, symlinkSync, writeFileSync } from "node:fs";
import { request as httpRequest } from "node:http";
import { dirname, join } from "node:path";
import { expect, test } from "vitest";
import WebSocket from "ws";
import { makeCode, sameCode } from "../../../src/chat/room/door/codes.js";
import { cleanName } from "../../../src/chat/room/door/names.js";
import type { FrameRecord } from "../../../src/journal/events.js";
import type { Target } from "../../../src/sky/target.js";
import { openRoom, type RoomUnderTest, roomConfig } from "./open-room.js";

test("codes are compared whatever their length, and are hard to guess", () => {
  expect(sameCode("abcd-efgh", "ABCDEFGH")).toBe(true);
  expect(sameCode("", "ABCDEFGH")).toBe(false);
  expect(sameCode("ABCDEFGH".repeat(1_000), "ABCDEFGH")).toBe(false);
  const codes = new Set(Array.from({ length: 1_000 }, () => makeCode(2)));
  expect(codes.size).toBe(1_000);
  for (const code of codes) expect(code).toMatch(/^[A-HJKMNP-TV-Z2-9]{4}-[A-HJKMNP-TV-Z2-9]{4}$/);
});

test("every answer carries a policy that runs only the room's own scripts and frames it nowhere", async () => {
  const room = await openRoom();
  for (const path of ["/", "/wall", "/entry", "/nowhere"]) {
    const policy = (await fetch(room.url + path)).headers.get("content-security-policy") ?? "";
    expect(policy).toContain("default-src 'none'");
    expect(policy).toContain("script-src 'self'");
    expect(policy).toContain("frame-ancestors 'none'");
    expect(policy).not.toMatch(/unsafe|https?:|\*/);
  }
});

test("nothing in the page comes from elsewhere", async () => {
  const room = await openRoom();
  const page = await (await fetch(room.url)).text();
  expect(page).not.toMatch(/(src|href)="(https?:)?\/\//);
  expect(page).not.toMatch(/<style|<script(?![^>]*src="\/page\/)|\son\w+=|style=/);
});

test("a page that is unchanged is not sent again", async () => {
  const room = await openRoom();
  const first = await fetch(room.url);
  const etag = first.headers.get("etag") as string;
  expect(etag).toMatch(/^"[\w-]+"$/);
  expect((await fetch(room.url, { headers: { "if-none-match": etag } })).status).toBe(304);
  const style = /href="(\/page\/[^"]+\/style\.css)"/.exec(await first.text())?.[1] as string;
  const kept = await fetch(room.url + style, { headers: { "accept-encoding": "br" } });
  expect(kept.headers.get("cache-control")).toContain("immutable");
  expect(kept.headers.get("content-encoding")).toBe("br");
  const older = await fetch(`${room.url}/page/older/style.css`);
  expect(older.headers.get("cache-control")).toBe("no-cache");
});

test.each([
  "/page/../../../package.json",
  "/page/x/..%2f..%2fsurface.js",
  "/page/%2e%2e%2f%2e%2e%2fsurface.ts",
  "/page/x/tsconfig.json",
  "/page/x/base.css",
  "/frame/1/..%2f..%2fjournal.db",
  "/frame/1/1.db",
  "/frame/../journal.db",
  "/handout/..%2f..%2fetc%2fpasswd",
])("%s leads nowhere", async (path) => {
  const room = await openRoom();
  const { cookie } = await room.join("Nova");
  expect(await rawStatus(room, path, { cookie })).toBe(404);
});

test("a socket needs the room's own page as origin, and a member's token", async () => {
  const room = await openRoom();
  const { cookie } = await room.join("Nova");
  const refused = (headers: Record<string, string>, token = cookie) =>
    room.connect(token, null, headers).then(
      () => "let in",
      (error: Error) => error.message,
    );
  expect(await refused({ origin: "http://elsewhere.example" })).toBe("403");
  expect(await refused({ origin: "null" })).toBe("403");
  expect(await refused({ origin: room.url.replace("127.0.0.1", "localhost") })).toBe("403");
  expect(await refused({ host: "rebound.example:80", origin: "http://rebound.example:80" })).toBe("403");
  expect(await refused({}, "")).toBe("401");
  expect(await refused({}, "nightslate=abc.def.ghi")).toBe("401");
  expect(await refused({})).toBe("let in");
});

test("a browser that was sent here under somebody else's name gets nothing", async () => {
  const room = await openRoom();
  expect(await rawStatus(room, "/", { host: "rebound.example" })).toBe(421);
  const named = await openRoom({ config: roomConfig({ hostNames: ["stars.school.example"] }) });
  expect(await rawStatus(named, "/", { host: "stars.school.example:8420" })).toBe(200);
});

test("another site's page cannot let someone in or out", async () => {
  const room = await openRoom();
  expect((await room.join("Nova", {}, { origin: "http://elsewhere.example" })).status).toBe(403);
  const leave = await fetch(`${room.url}/leave`, {
    method: "POST",
    headers: { origin: "http://elsewhere.example" },
  });
  expect(leave.status).toBe(403);
});

test("the token is out of scripts' reach and not sent along from other sites", async () => {
  const room = await openRoom();
  const response = await fetch(`${room.url}/join`, {
    method: "POST",
    headers: { "content-type": "application/json", origin: room.url },
    body: JSON.stringify({ code: "TEST-CODE", name: "Nova", group: null, pass: null }),
  });
  expect(response.headers.get("set-cookie")).toMatch(/HttpOnly; SameSite=Strict/);
});

test.each([
  ["no JSON", "hello"],
  ["an unknown kind", '{"t":"shutdown"}'],
  ["a line that is no text", '{"t":"line","id":"a","line":{"$ne":1}}'],
  ["a key too many", '{"t":"line","id":"a","line":"/when","asker":"room:quill"}'],
  ["an id with markup", '{"t":"line","id":"<b>","line":"/when"}'],
  [
    "a polluted prototype",
    '{"t":"run","id":"a","command":"__proto__","options":{"__proto__":{"x":1}},"role":"instructor"}',
  ],
])("a page that sends %s is cut off", async (_what, text) => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  page.send(text);
  expect(await page.end()).toBe(1008);
});

test("a message that is too long, or binary, ends the connection", async () => {
  const room = await openRoom();
  const long = await room.enter("Nova");
  long.send({ t: "line", id: "a", line: "x".repeat(10_000) });
  expect(await long.end()).toBe(1009);
  const binary = await room.enter("Rune");
  binary.socket.send(Buffer.from([1, 2, 3]));
  expect(await binary.end()).toBe(1003);
});

test("a page that asks too fast is answered every time, then cut off; others are served", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  for (let count = 0; count < 60; count++) page.send({ t: "line", id: `q${count}`, line: "/nonsense" });
  const replies = () => page.heard.flatMap((each) => (each.t === "reply" ? [each] : []));
  await page.until(() => replies().length === 60);
  expect(new Set(replies().map(({ id }) => id)).size).toBe(60);
  const tooFast = replies().filter(({ reply }) => reply.title.startsWith("Slow down"));
  expect(tooFast.length).toBeGreaterThan(0);
  expect(new Set(tooFast.map(({ reply }) => reply.tone))).toEqual(new Set(["refused"]));
  page.send({ t: "suggest", id: "s", command: "request", option: "filter", typed: "" });
  expect(await page.message("suggestions")).toEqual({ t: "suggestions", id: "s", items: [] });
  page.send({ t: "pass", role: "operator" });
  expect((await page.message("trouble")).text).toContain("Slow down");
  for (let count = 0; count < 60; count++) page.send({ t: "line", id: `r${count}`, line: "/nonsense" });
  expect(await page.end()).toBe(1008);
  const other = await room.enter("Rune");
  expect((await other.run("/help")).tone).toBe("answer");
});

test("a stranger learns the site's name; the right code brings class and groups", async () => {
  const room = await openRoom();
  const entry = await (await fetch(`${room.url}/entry`)).json();
  expect(entry).toEqual({ site: "Tern Hollow Observatory", me: null, role: null });
  const wrong = await room.post("/code", { code: "WRONG-ONE" });
  expect(wrong.status).toBe(403);
  expect(wrong.body.problem).toBe("That is not the class code. Ask your instructor.");
  const right = await room.post("/code", { code: "test code" });
  expect(right.body).toEqual({ className: "Evening Survey, section 2", groups: ["Alder", "Birch"] });
});

test("two programs on one machine do not overwrite each other's cookie", async () => {
  const [one, two] = [await openRoom(), await openRoom()];
  const cookies = [await one.join("Nova"), await two.join("Nova")].map(({ cookie }) => cookie);
  const names = cookies.map((cookie) => cookie.split("=")[0]);
  expect(names[0]).not.toBe(names[1]);
  const both = cookies.join("; ");
  for (const room of [one, two]) expect((await room.who(both)).me).toBe("Nova");
});

test("coming back over and over is rationed, without shutting anyone out for long", async () => {
  const room = await openRoom();
  const { cookie } = await room.join("Nova");
  const again = () =>
    room.connect(cookie, null).then(
      () => "in",
      (error: Error) => error.message,
    );
  const answers: string[] = [];
  for (let count = 0; count < 25; count++) answers.push(await again());
  expect(answers.slice(0, 20)).toEqual(Array.from({ length: 20 }, () => "in"));
  expect(answers.at(-1)).toBe("429");
  await room.real.moveTo(room.real.now() + 4_000);
  expect(await again()).toBe("in");
});

test("questions beyond six at a time are answered too: not now, and why", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  const replies = await Promise.all(Array.from({ length: 9 }, () => page.run("/target M31")));
  const late = replies.filter(({ title }) => title.startsWith("One moment"));
  expect(late.map(({ tone }) => tone)).toEqual(["refused", "refused", "refused"]);
});

test("a role cannot be typed, only proved: staff commands are refused to students", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  for (const line of ["/announce Hello", "/hold x", "/rule first-come", "/cancel all x", "/results"]) {
    expect((await page.run(line)).tone).toBe("refused");
  }
  const hello = await page.message("hello");
  expect(hello.entry).toBeNull();
  expect(hello.commands.some(({ who }) => who !== "student")).toBe(false);
});

test("frames go to members of the class, by number alone, and never from outside the data folder", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  await page.run("/request M31 clear 20 1");
  await page.run("/request M15 clear 20 1");
  await page.run("/request M39 clear 20 1");
  put(join(room.folder, "frames", "a.fits"), "SIMPLE");
  put(join(room.folder, "frames", "a.png"), "png");
  put(`${room.folder}-secret.txt`, "secret");
  symlinkSync(`${room.folder}-secret.txt`, join(room.folder, "frames", "link.fits"));
  await frame(room, 1, "frames/a.fits", "frames/a.png");
  await frame(room, 2, `../${room.folder.split("/").at(-1)}-secret.txt`, null);
  await frame(room, 3, "frames/link.fits", null);
  const get = (path: string, cookie = page.cookie) => fetch(room.url + path, { headers: { cookie } });
  const full = await get("/frame/1/1.fits");
  expect([full.status, await full.text()]).toEqual([200, "SIMPLE"]);
  expect(full.headers.get("content-disposition")).toBe('attachment; filename="a.fits"');
  expect((await get("/frame/1/1.png")).headers.get("content-type")).toBe("image/png");
  expect((await get("/frame/1/1.fits", "")).status).toBe(401);
  expect((await get("/frame/2/1.fits")).status).toBe(404);
  expect((await get("/frame/3/1.fits")).status).toBe(404);
  expect((await get("/frame/2/1.png")).status).toBe(404);
  expect((await get("/frame/99/1.png")).status).toBe(404);
});

test("another class's frames are not there for this one", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  const target = room.services.catalogue.byId("M31") as Target;
  const wish = { target, filter: "V", exposureSeconds: 10, frames: 1, notBeforeUnixMs: null, note: null };
  const via = { surface: "discord", channel: "1" };
  const whose = { owner: "discord:1", classId: "other", group: null, tier: 1, via };
  await room.happen({ type: "request.made", number: 1, wish, ...whose });
  put(join(room.folder, "frames", "a.fits"), "SIMPLE");
  await frame(room, 1, "frames/a.fits", null);
  expect((await fetch(`${room.url}/frame/1/1.fits`, { headers: { cookie: page.cookie } })).status).toBe(404);
});

test("a picture made for one person's answer is that person's", async () => {
  const room = await openRoom();
  const [nova, rune] = [await room.enter("Nova"), await room.enter("Rune")];
  const { picture } = await nova.run("/target M31");
  const get = async (cookie: string) =>
    (await fetch(room.url + (picture?.url ?? ""), { headers: { cookie } })).status;
  expect(picture?.alt).toMatch(/\w/);
  expect([await get(nova.cookie), await get(rune.cookie), await get("")]).toEqual([200, 404, 401]);
});

test("what people type stays text: markup arrives as the very characters", async () => {
  const room = await openRoom();
  const teacher = await room.enter("Dr Vale", { pass: room.pass });
  await teacher.run('/announce <img src=x onerror="alert(1)"> & more');
  const notice = await teacher.until(() => teacher.notices.find(({ kind }) => kind === "announcement"));
  expect(JSON.stringify(notice.lines)).toContain('<img src=x onerror=\\"alert(1)\\"> & more');
});

test("a command that is sent again after a lost connection is acted on once", async () => {
  const room = await openRoom();
  const page = await room.enter("Nova");
  const first = await page.run("/request M31 clear 20 1", "same-id");
  page.socket.terminate();
  const again = await room.connect(page.cookie, { after: null, back: 0 });
  expect((await again.run("/request M31 clear 20 1", "same-id")).title).toBe(first.title);
  expect(room.desk.state.requests.size).toBe(1);
});

test("loopback unless opened, and opening says what that means", async () => {
  const closed = await openRoom();
  expect(closed.room.entry).toMatchObject({ open: false });
  expect(closed.room.entry?.address).toContain("127.0.0.1");
  expect(closed.printed.join()).toContain("--lan");
  const open = await openRoom({ lan: true });
  expect(open.room.entry).toMatchObject({ open: true });
  expect(open.printed.join()).toMatch(/Plain HTTP/);
  expect(open.printed.join()).toMatch(/not for the open internet/);
  expect(open.printed.join()).toMatch(/[█▀▄]/);
});

test("a port that is taken: the next free one, and a word about it", async () => {
  const first = await openRoom({ config: roomConfig({ port: 18_420 }) });
  const second = await openRoom({ config: roomConfig({ port: 18_420 }) });
  expect(first.url).toContain(":18420");
  expect(second.url).not.toBe(first.url);
  expect(second.printed.join()).toContain("port 18420 is taken");
});

test("an upgrade to any other path is refused", async () => {
  const room = await openRoom();
  const { cookie } = await room.join("Nova");
  const socket = new WebSocket(`${room.url.replace("http", "ws")}/other`, {
    headers: { cookie, origin: room.url },
  });
  const status = await new Promise((done) => {
    socket.on("unexpected-response", (_request, response) => done(response.statusCode));
    socket.on("error", () => {});
  });
  expect(status).toBe(404);
});

test("names keep letters of any one script", () => {
  expect(cleanName("Łukasz Żó")).toBe("Łukasz Żó");
  expect(cleanName("Владислав")).toBe("Владислав");
  expect(cleanName("梅")).toBe("梅");
});

function rawStatus(room: RoomUnderTest, path: string, headers: Record<string, string>): Promise<number> {
  const { hostname, port } = new URL(room.url);
  return new Promise((done, failed) => {
    httpRequest({ host: hostname, port, path, headers }, (response) => {
      response.resume();
      done(response.statusCode ?? 0);
    })
      .on("error", failed)
      .end();
  });
}

function put(path: string, text: string): void {
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, text);
}

async function frame(
  room: RoomUnderTest,
  number: number,
  imageFile: string | null,
  previewFile: string | null,
): Promise<void> {
  const record: FrameRecord = {
    index: 1,
    startUnixMs: room.clock.now(),
    exposureSeconds: 20,
    filter: "clear",
    imageFile,
    previewFile,
    verdict: null,
    simulated: true,
  };
  const taken = { freeUnixMs: room.clock.now(), altitudeDegrees: 60, airmass: 1.2, pointingAfter: null };
  await room.happen({ type: "request.taken", number, ...taken });
  await room.happen({ type: "frame.done", number, frame: record }, { type: "request.completed", number });
}
