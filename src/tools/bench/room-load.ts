/** The room under load: a hall of phones, each with a request, one notice a second. */
import type WebSocket from "ws";
import { systemClock } from "../../base/clock.js";
import { type RoomProgram, startRoom } from "./room-program.js";
import { atMost, type BenchRow } from "./row.js";

const PHONES = 300;
const NOTICES = 30;
const SPACING_MS = 1_000;
const FAN_OUT_LIMIT_MS = 250;
const MEMORY_LIMIT_MEGABYTES = 250;
/** Spread over the sky and the queue. */
const TARGETS = ["M31", "M33", "M13", "M15", "M57", "M27", "M39", "M52", "M76", "M103", "M1", "M45"];
const JOINING_AT_ONCE = 10;

export async function roomLoad(): Promise<readonly BenchRow[]> {
  const room = await startRoom();
  try {
    const phones = await fill(room, PHONES);
    const teacher = await room.connect(await room.join("Dr Vale", room.pass));
    const waits: number[] = [];
    let most = 0;
    for (let index = 0; index < NOTICES; index++) {
      waits.push(...(await announce(teacher, phones, index)));
      most = Math.max(most, room.residentMegabytes());
    }
    for (const phone of [...phones, teacher]) phone.terminate();
    const sorted = waits.sort((a, b) => a - b);
    const p99 = sorted[Math.ceil(sorted.length * 0.99) - 1] as number;
    return [
      atMost(`room, ${PHONES} phones: announcement to phone, p99`, p99, "ms", FAN_OUT_LIMIT_MS),
      atMost(`room, ${PHONES} phones: resident memory`, most, "MB", MEMORY_LIMIT_MEGABYTES),
    ];
  } finally {
    await room.stop();
  }
}

/** So many phones that have joined and asked for something each. */
export async function fill(room: RoomProgram, count: number): Promise<WebSocket[]> {
  const phones: WebSocket[] = [];
  for (let first = 0; first < count; first += JOINING_AT_ONCE) {
    const numbers = Array.from({ length: JOINING_AT_ONCE }, (_, offset) => first + offset);
    phones.push(...(await Promise.all(numbers.map((number) => enter(room, number)))));
  }
  return phones;
}

/** Joins, connects, and asks for something. */
async function enter(room: RoomProgram, number: number): Promise<WebSocket> {
  const phone = await room.connect(await room.join(`Guest ${number}`));
  const target = TARGETS[number % TARGETS.length];
  const answered = heard(phone, '"t":"reply"');
  phone.send(
    JSON.stringify({ t: "line", id: "ask", line: `/request ${target} V ${10 + (number % 50)} 1 anyway=yes` }),
  );
  await answered;
  return phone;
}

/** Milliseconds from the instructor's command to each phone. */
async function announce(teacher: WebSocket, phones: readonly WebSocket[], index: number): Promise<number[]> {
  const text = `Notice number ${index} of the night`;
  const started = performance.now();
  const arrivals = phones.map((phone) => heard(phone, text));
  teacher.send(JSON.stringify({ t: "line", id: `notice-${index}`, line: `/announce ${text}` }));
  const times = await Promise.all(arrivals);
  const clock = systemClock();
  const left = Math.max(0, SPACING_MS - (performance.now() - started));
  await new Promise<void>((done) => clock.at(clock.now() + left, () => done()));
  return times.map((arrivedMs) => arrivedMs - started);
}

/** When a message that holds the text arrives. */
export function heard(phone: WebSocket, text: string): Promise<number> {
  return new Promise((done) => {
    const look = (data: WebSocket.RawData): void => {
      if (!(data as Buffer).includes(text)) return;
      phone.off("message", look);
      done(performance.now());
    };
    phone.on("message", look);
  });
}
