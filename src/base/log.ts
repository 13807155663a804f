/** The operator's log: JSON lines on standard error or in a file, without personal data. */
import { pino } from "pino";

export interface Log {
  info(details: object, message: string): void;
  warn(details: object, message: string): void;
  error(details: object, message: string): void;
}

/** Lines that a full disk refuses wait in memory, no more than these characters of them. */
const MOST_UNWRITTEN = 1_000_000;

/**
 * A log that writes to `destination` (a path, or 2 for standard error). A destination that refuses, such as a
 * full disk, stops nobody's work.
 */
export function openLog(destination: string | number, level = "info"): Log {
  const lines = pino.destination({ dest: destination, sync: true, mkdir: true, maxLength: MOST_UNWRITTEN });
  lines.on("error", () => {});
  return pino({ level, base: null }, lines);
}

/** A log that keeps nothing, for tests. */
export const silentLog: Log = {
  info: () => {},
  warn: () => {},
  error: () => {},
};
