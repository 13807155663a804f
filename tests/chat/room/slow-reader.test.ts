/** A page that stops reading is cut off before it costs memory; everybody else goes on. */
import { connect, type Socket } from "node:net";
import { expect, test } from "vitest";
import type { NightslateEvent } from "../../../src/journal/events.js";
import { openRoom, type RoomUnderTest } from "./open-room.js";

/** Long enough that a few hundred fill every buffer between two processes. */
const LONG = "cloud ".repeat(10_000);
const said = (text: string): NightslateEvent => ({
  type: "announcement.made",
  classId: "evening-2",
  text,
  by: "room:teacher",
});

test("a page that does not read is cut off, and one that reads misses nothing", async () => {
  const room = await openRoom();
  const reader = await room.enter("Nova");
  const sleeper = await sleepingPage(room, (await room.join("Rune")).cookie);
  let told = 0;
  for (; told < 600 && !sleeper.cut(); told++) {
    await room.happen(said(`${told} ${LONG}`));
    await reader.until(() => reader.notices.length > told);
  }
  expect(sleeper.cut()).toBe(true);
  const mostUnsent = 1_024 * 1_024;
  expect(sleeper.mostUnsent()).toBeLessThan(mostUnsent);
  expect(reader.notices).toHaveLength(told);
  expect(reader.closed).toBeNull();
});

test("a page that never answers a ping is let go", async () => {
  const room = await openRoom();
  const sleeper = await sleepingPage(room, (await room.join("Rune")).cookie);
  await room.real.moveTo(room.real.now() + 45_000);
  await sleeper.untilCut();
  expect(sleeper.cut()).toBe(true);
});

test("a ninth page of one person takes the place of the first", async () => {
  const room = await openRoom();
  const first = await room.enter("Nova");
  for (let count = 0; count < 8; count++) await room.connect(first.cookie);
  expect(await first.end()).toBe(1008);
});

/** Greets over a bare TCP connection, then reads no more. */
async function sleepingPage(room: RoomUnderTest, cookie: string) {
  const { port } = new URL(room.url);
  const socket: Socket = connect(Number(port), "127.0.0.1");
  socket.on("error", () => {});
  const server = serverSide(room);
  socket.write(
    `GET /socket HTTP/1.1\r\nhost: 127.0.0.1:${port}\r\norigin: ${room.url}\r\ncookie: ${cookie}\r\n` +
      "connection: Upgrade\r\nupgrade: websocket\r\nsec-websocket-version: 13\r\nsec-websocket-key: AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n",
  );
  await new Promise<void>((done) => socket.once("data", () => done()));
  socket.write(maskedText(JSON.stringify({ t: "hello", after: null, back: 0 })));
  await new Promise<void>((done) => {
    socket.on("data", (chunk) => {
      if (chunk.includes("caught-up")) done();
    });
  });
  socket.removeAllListeners("data");
  socket.pause();
  return server(socket.localPort as number);
}

/** Watches the server's end of a connection, by the port of the other end. */
function serverSide(room: RoomUnderTest) {
  const ends = new Map<number, { socket: Socket; most: number; cut: boolean }>();
  const server = room.room.server as NonNullable<typeof room.room.server>;
  server.on("connection", (socket) => {
    const end = { socket, most: 0, cut: false };
    ends.set(socket.remotePort as number, end);
    const write = socket.write.bind(socket) as (...args: unknown[]) => boolean;
    Object.assign(socket, {
      write: (...args: unknown[]) => {
        const more = write(...args);
        end.most = Math.max(end.most, socket.writableLength);
        return more;
      },
    });
    socket.on("close", () => {
      end.cut = true;
    });
  });
  return (port: number) => {
    const end = ends.get(port) as NonNullable<ReturnType<typeof ends.get>>;
    return {
      cut: () => end.cut || end.socket.destroyed,
      mostUnsent: () => end.most,
      untilCut: () => new Promise<void>((done) => (end.cut ? done() : end.socket.on("close", () => done()))),
    };
  };
}

function maskedText(text: string): Buffer {
  const body = Buffer.from(text);
  return Buffer.concat([Buffer.from([0x81, 0x80 | body.length, 0, 0, 0, 0]), body]);
}
