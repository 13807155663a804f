/** The server's clock as this page knows it, and times in words for the reader's own zone. */
import type { WireClock, WirePart } from "../wire.js";

let base: WireClock = { now: performance.timeOrigin + performance.now(), speed: 1 };
let heardAt = performance.now();

/** Takes over the clock that came with a message. */
export function setClock(clock: WireClock): void {
  base = clock;
  heardAt = performance.now();
}

/** The observatory's now: practice time may run faster than the reader's. */
export function now(): number {
  return base.now + (performance.now() - heardAt) * base.speed;
}

export function speed(): number {
  return base.speed;
}

const clock = new Intl.DateTimeFormat(undefined, { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
const day = new Intl.DateTimeFormat(undefined, { weekday: "short", day: "numeric", month: "short" });

/** "21:40" */
export function clockText(unixMs: number): string {
  return clock.format(unixMs);
}

/** "Wed 25 Nov" */
export function dayText(unixMs: number): string {
  return day.format(unixMs);
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

function relativeText(ms: number): string {
  const minutes = Math.round(Math.abs(ms) / 60_000);
  if (minutes === 0) return "now";
  const amount = minutes < 90 ? `${minutes} min` : `${Math.round(minutes / 60)} h`;
  return ms > 0 ? `in ${amount}` : `${amount} ago`;
}
