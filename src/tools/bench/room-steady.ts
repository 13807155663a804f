/** The room's memory while a class goes on asking: what it takes after a minute is what it takes later. */
import type WebSocket from "ws";
import { systemClock } from "../../base/clock.js";
import { fill, heard } from "./room-load.js";
import { startRoom } from "./room-program.js";
import { atMost, type BenchRow, figure } from "./row.js";

const PHONES = 120;
const MINUTES = 4;
/** Commands of all phones together, each sent when it is due and the one before it has been answered. */
const A_MINUTE = 120;
const RATIO_LIMIT = 1.05;
/** With and without a chart. */
const LINES = ["/when", "/queue", "/mine", "/tonight", "/help", "/target M31", "/why", "/queue all"];

export async function roomSteady(): Promise<readonly BenchRow[]> {
  const room = await startRoom();
  try {
    const phones = await fill(room, PHONES);
    const resident: number[] = [];
    for (let minute = 0; minute < MINUTES; minute++) {
      await askForAMinute(phones, minute);
      resident.push(room.residentMegabytes());
    }
    for (const phone of phones) phone.terminate();
    const [first = 0] = resident;
    const last = resident.at(-1) as number;
    const what = `room, ${PHONES} phones asking`;
    return [
      figure(`${what}: resident after 1 min`, first, "MB"),
      figure(`${what}: resident after ${MINUTES} min`, last, "MB"),
      atMost(`${what}: the one over the other`, last / first, "times", RATIO_LIMIT),
    ];
  } finally {
    await room.stop();
  }
}

async function askForAMinute(phones: readonly WebSocket[], minute: number): Promise<void> {
  const clock = systemClock();
  const began = performance.now();
  for (let turn = minute * A_MINUTE; turn < (minute + 1) * A_MINUTE; turn++) {
    const phone = phones[turn % phones.length] as WebSocket;
    const line = LINES[turn % LINES.length] as string;
    const answered = heard(phone, `"id":"steady-${turn}"`);
    phone.send(JSON.stringify({ t: "line", id: `steady-${turn}`, line }));
    await answered;
    const dueMs = began + ((turn + 1 - minute * A_MINUTE) * 60_000) / A_MINUTE;
    const left = Math.max(0, dueMs - performance.now());
    await new Promise<void>((done) => clock.at(clock.now() + left, () => done()));
  }
}
