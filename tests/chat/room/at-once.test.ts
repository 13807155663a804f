/** What a page without a connection does with a press: most is kept and sent later; what moves machines never is. */
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { wireCommand } from "../../../src/chat/room/live/to-wire.js";
import { answered, runCommand, runLine, setConnection } from "../../../src/chat/room/page/ask/to-server.js";
import { heard } from "../../../src/chat/room/page/heard.js";
import type { ClientMessage, WireHello, WireReply } from "../../../src/chat/room/wire.js";
import { commandTable } from "../../../src/commands/table.js";

const line = { connected: true, kept: [] as ClientMessage[], sent: [] as ClientMessage[] };

beforeEach(() => {
  vi.useFakeTimers();
  Object.assign(line, { connected: true, kept: [], sent: [] });
  heard.hello = { commands: commandTable.map(wireCommand) } as unknown as WireHello;
  setConnection({
    ask: (message) => void line.kept.push(message),
    send: (message) => line.connected && line.sent.push(message) > 0,
  });
});
afterEach(() => {
  vi.useRealTimers();
  heard.hello = null;
});

test("Stop without a connection says at once that it was not sent, and what to do; it is not sent later", async () => {
  line.connected = false;
  const reply = await runCommand("hold", { reason: "stopped", now: "yes" });
  expect(reply).toMatchObject({
    tone: "refused",
    title: "Not sent: you are offline",
    lines: [["Use the stop at the telescope. It is not sent later."]],
  });
  expect(line.kept).toEqual([]);
});

test.each(["/resume nobody in the dome", "resume", "/cancel now wind", "/hold people in the dome"])(
  "%s is not kept either",
  async (typed) => {
    line.connected = false;
    expect((await runLine(typed)).title).toBe("Not sent: you are offline");
    expect(line.kept).toEqual([]);
  },
);

test("on a connection that is dead without anybody knowing, that nothing was heard is said within seconds", async () => {
  const pressed = runCommand("hold", { reason: "stopped", now: "yes" });
  await vi.advanceTimersByTimeAsync(4_000);
  expect((await pressed).title).toBe("No answer: it may not have been heard");
  expect([line.sent.length, line.kept]).toEqual([1, []]);
});

test("an answer in time is the answer", async () => {
  const pressed = runCommand("hold", { reason: "stopped", now: "yes" });
  const [message] = line.sent as { id: string }[];
  const reply = { tone: "warning", title: "On hold" } as WireReply;
  answered({ t: "reply", id: message?.id ?? "", reply });
  await vi.advanceTimersByTimeAsync(10_000);
  expect(await pressed).toBe(reply);
});

test("a wish is kept, and sent when the page is connected again", () => {
  line.connected = false;
  void runLine("/request M31 clear 20");
  void runLine("holding hands");
  expect(line.kept).toHaveLength(2);
});
