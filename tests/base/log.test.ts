/** The log on a disk that refuses. */
import { existsSync } from "node:fs";
import { tmpdir } from "node:os";
import { expect, test } from "vitest";
import { openLog } from "../../src/base/log.js";

/** A device that answers every write as a full disk does. */
const FULL_DISK = "/dev/full";

test.skipIf(!existsSync(FULL_DISK))("a log that cannot be written stops nobody's work", () => {
  const log = openLog(FULL_DISK);
  for (let line = 0; line < 5; line++) {
    expect(() => log.error({ line }, "the disk is full")).not.toThrow();
  }
});

test("a log whose file cannot be opened is no reason not to start", () => {
  expect(() => openLog(tmpdir(), "silent").error({}, "not heard of")).not.toThrow();
});
