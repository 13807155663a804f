/** The server's clock as this page knows it, and times in words: the observatory's, as they are typed. */
import type { WireClock, WirePart } from "../../wire.js";
import { PageClock } from "./page-clock.js";
import { zoneWords } from "./zone.js";

const shown = new PageClock();
let speed = 1;
let zone = "UTC";
let formats = formatsFor(zone);
/** While there is no connection the clock stands: what it would show is not known. */
let stoppedUnixMs: number | null = null;

/** Takes over the clock that came with a message. */
export function setClock(clock: WireClock): void {
  speed = clock.speed;
  stoppedUnixMs = null;
  shown.set(clock, performance.now());
}

/** All times are said in the observatory's zone. */
export function setZone(timeZone: string): void {
  if (timeZone === zone) return;
  zone = timeZone;
  formats = formatsFor(zone);
}

/** Nothing is heard from the server any more. */
export function stopClock(): void {
  stoppedUnixMs ??= now();
  shown.interrupted();
}

/** Another server's journal: its clock may be earlier. */
export function forgetClock(): void {
  shown.reset();
}

/** The observatory's now: its time may run faster than the reader's. Never goes back. */
export function now(): number {
  return stoppedUnixMs ?? shown.now(performance.now());
}

/** Observatory's seconds in one of the reader's: at most, and as measured lately. */
export function pace(): { readonly most: number; readonly measured: number } {
  return { most: speed, measured: shown.paceNow };
}

/** "observatory time, 7 h behind yours"; empty where the reader's clock agrees. */
export function otherZone(): string {
  return zoneWords(now(), zone);
}

/** "21:40" */
export function clockText(unixMs: number): string {
  return formats.clock.format(unixMs);
}

/** "Wed 25 Nov" */
export function dayText(unixMs: number): string {
  return formats.day.format(unixMs);
}

export function timeText(part: Extract<WirePart, { at: number }>): string {
  switch (part.style) {
    case "clock":
      return clockText(part.at);
    case "day":
      return dayText(part.at);
    case "both":
      return `${dayText(part.at)} ${clockText(part.at)}`;
    case "relative":
      return relativeText(part.at - now());
  }
}

function formatsFor(timeZone: string) {
  const clock = { timeZone, hour: "2-digit", minute: "2-digit", hourCycle: "h23" } as const;
  const day = { timeZone, weekday: "short", day: "numeric", month: "short" } as const;
  return {
    clock: new Intl.DateTimeFormat(undefined, clock),
    day: new Intl.DateTimeFormat(undefined, day),
  };
}

function relativeText(ms: number): string {
  const minutes = Math.round(Math.abs(ms) / 60_000);
  if (minutes === 0) return "now";
  const amount = minutes < 90 ? `${minutes} min` : `${Math.round(minutes / 60)} h`;
  return ms > 0 ? `in ${amount}` : `${amount} ago`;
}
