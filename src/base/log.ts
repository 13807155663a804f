/** The operator's log: JSON lines on standard error or in a file, without personal data. */
import { pino } from "pino";

export interface Log {
  info(details: object, message: string): void;
  warn(details: object, message: string): void;
  error(details: object, message: string): void;
}

/** A log that writes to `destination` (a path, or 2 for standard error). */
export function openLog(destination: string | number, level = "info"): Log {
  return pino({ level, base: null }, pino.destination({ dest: destination, sync: true, mkdir: true }));
}

/** A log that keeps nothing, for tests. */
export const silentLog: Log = {
  info: () => {},
  warn: () => {},
  error: () => {},
};
