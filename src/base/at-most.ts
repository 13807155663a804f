/** Waiting for something, but not for ever. */
import type { Clock } from "./clock.js";
import type { Millis } from "./units.js";

/** Resolves when the work has ended, well or not, or after so many milliseconds of the clock. */
export function atMost(clock: Clock, ms: Millis, work: Promise<unknown>): Promise<void> {
  return new Promise((done) => {
    const callOff = clock.at(clock.now() + ms, done);
    const end = (): void => {
      callOff();
      done();
    };
    work.then(end, end);
  });
}
