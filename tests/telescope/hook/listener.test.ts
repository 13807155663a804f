/** The hook lets in what is signed, fresh and new, and nothing else breaks it. */
import fc from "fast-check";
import type { FastifyInstance } from "fastify";
import { beforeEach, describe, expect, test } from "vitest";
import { silentLog } from "../../../src/base/log.js";
import { Refusal } from "../../../src/base/refusal.js";
import { buildListener } from "../../../src/telescope/hook/listener.js";
import type { HookEvent, NextAnswer } from "../../../src/telescope/hook/messages.js";
import { ManualClock } from "../../../src/tools/manual-clock.js";
import { JUNE_NIGHT } from "../practice/practice-example.js";
import { form, SECRET, say, sign, timeNow } from "./signed.js";

const nothing: NextAnswer = {
  do: "nothing",
  holdsUntil: "2026-06-20T04:00:00.000Z",
  because: "nobody waits",
};
const event = { id: "e1", at: "2026-06-20T04:00:00Z", type: "taken", number: 12 };

let clock: ManualClock;
let web: FastifyInstance;
let heard: { event: HookEvent; frame: string | null }[];
let trouble: Error | null;

beforeEach(() => {
  clock = new ManualClock(JUNE_NIGHT);
  heard = [];
  trouble = null;
  web = buildListener({
    ...{ secret: SECRET, clock, log: silentLog, largestFrame: 100_000 },
    conversation: {
      next: () => nothing,
      hear: async (event, frame) => {
        if (trouble) throw trouble;
        heard.push({ event, frame: frame && Buffer.from(frame).toString("latin1") });
        return { status: 200, answer: { outcome: "accepted", said: "Taken.", request: null, next: nothing } };
      },
    },
  });
});

const tell = (what: object | string) =>
  say(web, clock, { body: typeof what === "string" ? what : JSON.stringify(what) });

describe("signed, fresh and new", () => {
  test("a question and an event are heard, and their answers are signed", async () => {
    expect(await say(web, clock, { method: "GET", path: "/telescope/next" })).toEqual({
      ...{ status: 200, said: nothing, genuine: true },
    });
    expect(await tell(event)).toMatchObject({ status: 200, said: { outcome: "accepted" }, genuine: true });
    expect(heard).toEqual([{ event, frame: null }]);
  });

  test("a frame comes along byte for byte", async () => {
    const frame = Buffer.from(Array.from({ length: 50_000 }, (_, index) => (index * 31) % 256));
    expect(await say(web, clock, form({ ...event, type: "frame", frame: 1 }, frame))).toMatchObject({
      ...{ status: 200, genuine: true },
    });
    expect(heard[0]?.frame).toBe(frame.toString("latin1"));
  });
});

describe("let in are no others:", () => {
  const body = JSON.stringify(event);
  const refusals: [string, () => Parameters<typeof say>[2], RegExp][] = [
    ["an unsigned one", () => ({ body, headers: { "nightslate-signature": "" } }), /64 hexadecimal/],
    ["another secret's", () => ({ body, secret: "f".repeat(32) }), /does not fit/],
    [
      "one for another path",
      () => ({ body, signature: sign(SECRET, "POST", "/telescope/next", timeNow(clock), body) }),
      /does not fit/,
    ],
    [
      "one with another body",
      () => {
        const time = timeNow(clock);
        return {
          time,
          body: body.replace("12", "13"),
          signature: sign(SECRET, "POST", "/telescope/events", time, body),
        };
      },
      /does not fit/,
    ],
    [
      "one of two minutes ago",
      () => ({ body, time: String(clock.now() / 1000 - 120) }),
      /-120 s from the time here/,
    ],
    [
      "one of two minutes hence",
      () => ({ body, time: String(clock.now() / 1000 + 120) }),
      /120 s from the time here/,
    ],
    ["one that says no time", () => ({ body, time: "yesterday" }), /seconds since 1970/],
    [
      "one signed before the program was started",
      () => ({ body, time: String(clock.now() / 1000 - 30) }),
      /before the program was started/,
    ],
  ];
  test.each(refusals)("%s", async (_name, what, said) => {
    const answer = await say(web, clock, what());
    expect(answer).toMatchObject({ status: 401, genuine: true });
    expect(answer.said.said).toMatch(said);
    expect(heard).toEqual([]);
  });

  test("one that was said already, until it would be too old anyway", async () => {
    const time = timeNow(clock);
    expect(await say(web, clock, { body, time })).toMatchObject({ status: 200 });
    await clock.moveTo(clock.now() + 59_000);
    const again = await say(web, clock, { body, time });
    expect([again.status, again.said.said]).toEqual([401, expect.stringMatching(/said already/)]);
    await clock.moveTo(clock.now() + 2_000);
    expect((await say(web, clock, { body, time })).said.said).toMatch(/from the time here/);
    expect(heard).toHaveLength(1);
  });

  test("a forged frame", async () => {
    const sent = form({ ...event, type: "frame", frame: 1 }, Buffer.alloc(5_000));
    expect(await say(web, clock, { ...sent, secret: "f".repeat(32) })).toMatchObject({ status: 401 });
    expect(heard).toEqual([]);
  });
});

describe("one sentence answers", () => {
  test.each([
    ["{", 400, /not valid JSON/],
    ["", 400, /not valid JSON/],
    ["[]", 400, /the event: /],
    [{ ...event, type: "explode" }, 400, /type: /],
    [{ ...event, number: "12" }, 400, /number: /],
    [{ ...event, number: -1 }, 400, /number: /],
    [{ ...event, at: "21:40" }, 400, /at: /],
    [{ ...event, id: "a b" }, 400, /id: 1 to 64 letters/],
    [{ ...event, colour: "red" }, 400, /colour/],
    [{ ...event, type: "failed", reason: "a\u202eb" }, 400, /reason: text without control characters/],
    [{ id: "e", at: event.at, type: "equipment" }, 400, /name one of telescope, dome, camera and sky/],
    [`"${"x".repeat(70_000)}"`, 413, /an event has 64000 bytes at most/],
  ])("what cannot be used: %j", async (what, status, said) => {
    const answer = await tell(what);
    expect(answer).toMatchObject({ status, genuine: true, said: { outcome: "refused" } });
    expect(answer.said.said).toMatch(said);
    expect(heard).toEqual([]);
  });

  test.each([
    ["a frame that is too large", { ...form(event, Buffer.alloc(164_001)) }, 413, /too large/],
    [
      "a form without a frame",
      { ...form(event, Buffer.alloc(1)), contentType: "multipart/form-data; boundary=other" },
      400,
      /form cannot be read/,
    ],
    [
      "a form without a boundary",
      { ...form(event, Buffer.alloc(1)), contentType: "multipart/form-data" },
      400,
      /form cannot be read/,
    ],
    ["a kind of body that is none", { body: "<event/>", contentType: "text/xml" }, 415, /application\/json/],
    ["a path that is none", { path: "/telescope", body: "{}" }, 404, /nothing here/],
  ])("%s", async (_name, what, status, said) => {
    const answer = await say(web, clock, what);
    expect(answer).toMatchObject({ status, genuine: true });
    expect(answer.said.said).toMatch(said);
    expect(heard).toEqual([]);
  });

  test("a disk that refuses, so that it is sent again; and a fault of ours, without its inside", async () => {
    trouble = new Refusal("not-stored", "The journal cannot be written.");
    expect(await tell(event)).toMatchObject({
      status: 503,
      said: { said: "The journal cannot be written." },
    });
    trouble = new Error("cannot read properties of /home/observatory");
    const answer = await tell(event);
    expect([answer.status, answer.said.said]).toEqual([500, "Something went wrong here: send it again."]);
  });
});

test("whatever is sent, signed or not, is answered and never brings the server down", async () => {
  const time = fc.oneof(
    fc.constant(undefined),
    fc.string(),
    fc.integer().map(String),
    fc.double().map(String),
  );
  const contentType = fc.constantFrom(
    "application/json",
    "multipart/form-data; boundary=b",
    "text/plain",
    "multipart/form-data; boundary=",
  );
  const body = fc.oneof(
    fc.json(),
    fc.string(),
    fc.uint8Array().map((bytes) => Buffer.from(bytes).toString("latin1")),
    fc
      .record({
        type: fc.constantFrom("taken", "frame", "equipment", "__proto__"),
        number: fc.anything(),
        id: fc.anything(),
      })
      .map((each) => JSON.stringify(each) ?? ""),
    fc
      .string()
      .map((inside) => `--b\r\ncontent-disposition: form-data; name="event"\r\n\r\n${inside}\r\n--b--\r\n`),
  );
  await fc.assert(
    fc.asyncProperty(
      fc.record({
        body,
        contentType,
        time,
        forged: fc.boolean(),
        path: fc.constantFrom("/telescope/events", "/telescope/events?a=%00", "/%"),
      }),
      async ({ time, forged, ...what }) => {
        const stamped = time === undefined || /[^\x20-\x7e]/.test(time) ? {} : { time };
        const answer = await say(web, clock, {
          ...what,
          ...stamped,
          ...(forged ? { signature: "0".repeat(64) } : {}),
        });
        expect(answer.status).toBeGreaterThanOrEqual(400);
        expect(answer.status).not.toBe(500);
        expect(typeof answer.said.said).toBe("string");
      },
    ),
    { numRuns: 300 },
  );
  expect(heard).toEqual([]);
  expect(await tell(event)).toMatchObject({ status: 200 });
});
