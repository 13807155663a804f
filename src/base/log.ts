/** The operator's log: JSON lines on standard error or in a file, without personal data. */
import { pino } from "pino";

export interface Log {
  info(details: object, message: string): void;
  warn(details: object, message: string): void;
  error(details: object, message: string): void;
}

const STANDARD_ERROR = 2;
/** Lines that a full disk refuses wait in memory, no more than these characters of them. */
const MOST_UNWRITTEN = 1_000_000;

/**
 * A log that writes to `destination` (a path, or 2 for standard error). A destination that refuses, such as a
 * full disk, stops nobody's work; one that cannot even be opened is replaced by standard error.
 */
export function openLog(destination: string | number, level = "info"): Log {
  const lines = linesTo(destination);
  lines.on("error", () => {});
  return pino({ level, base: null }, lines);
}

function linesTo(destination: string | number) {
  const settings = { sync: true, mkdir: true, maxLength: MOST_UNWRITTEN };
  try {
    return pino.destination({ ...settings, dest: destination });
  } catch {
    return pino.destination({ ...settings, dest: STANDARD_ERROR });
  }
}

/** A log that keeps nothing, for tests. */
export const silentLog: Log = {
  info: () => {},
  warn: () => {},
  error: () => {},
};
