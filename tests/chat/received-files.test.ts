/** Files that come with a command: on disk while it runs, within a limit, and nothing half-received stays. */
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import { ReceivedFiles } from "../../src/chat/received-files.js";

let folder = "";
let received: ReceivedFiles;
const left = () => readdirSync(join(folder, "received", "here"));

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "received-"));
  mkdirSync(join(folder, "received", "here"), { recursive: true });
  writeFileSync(join(folder, "received", "here", "of an earlier run"), "x");
  received = new ReceivedFiles(folder, "here", 1);
});
afterEach(() => rmSync(folder, { recursive: true }));

async function* pieces(sizes: readonly number[], breaks = false): AsyncGenerator<Uint8Array> {
  for (const size of sizes) yield Buffer.alloc(size, "s");
  if (breaks) throw new Error("the line broke");
}

test("a file is received whole, beside nothing that an earlier run left, and dropped", async () => {
  const path = await received.take(pieces([400_000, 600_000]), null);
  expect(readFileSync(path)).toHaveLength(1_000_000);
  expect(left()).toHaveLength(1);
  await received.drop(path);
  expect(left()).toEqual([]);
});

test.each([
  ["that says it is too large", pieces([1]), 1_000_001, /larger than 1 MB.*largestMegabytes/],
  ["that is larger than it said", pieces([600_000, 600_000]), 10, /larger than 1 MB/],
  ["that breaks off", pieces([600_000], true), null, /the line broke/],
  ["that is empty", pieces([]), 0, /no bytes/],
])("a file %s leaves nothing behind", async (_, chunks, bytes, sentence) => {
  await received.take(pieces([1]), null);
  await expect(received.take(chunks, bytes)).rejects.toThrow(sentence);
  expect(left()).toHaveLength(1);
});
