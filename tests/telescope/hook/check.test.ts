/** What `npm run check` says of the hook. */
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { systemClock } from "../../../src/base/clock.js";
import { silentLog } from "../../../src/base/log.js";
import { loadConfig } from "../../../src/config/load.js";
import { checkHook } from "../../../src/telescope/hook/check.js";
import { buildListener } from "../../../src/telescope/hook/listener.js";
import { SECRET_VARIABLE } from "../../../src/telescope/hook/secret.js";
import { SECRET } from "./signed.js";

const example = loadConfig("config/tern-hollow.yaml");
const folder = mkdtempSync(join(tmpdir(), "hook-check-"));
afterAll(() => rmSync(folder, { recursive: true }));

const withHook = (hook: Partial<typeof example.telescope.hook>) => ({
  ...example,
  telescope: { ...example.telescope, hook: { ...example.telescope.hook, port: 0, ...hook } },
});
const known = { [SECRET_VARIABLE]: SECRET };

test("a secret, a free port and a folder that is there are right", async () => {
  const secretFile = join(folder, "hook.secret");
  writeFileSync(secretFile, SECRET, { mode: 0o600 });
  const { lines, ok } = await checkHook(withHook({ secretFile, framesFolder: folder }), {});
  expect(lines).toEqual([
    `right  The hook's secret is in ${secretFile}, which nobody but its owner may read: 32 characters.`,
    "right  The hook's port is free: 127.0.0.1:0.",
    `right  The folder of frames is there: ${folder}.`,
  ]);
  expect(ok).toBe(true);
});

test("a secret that others may read, a port that is taken and a folder that is not there are named, each with what helps", async () => {
  const secretFile = join(folder, "open.secret");
  writeFileSync(secretFile, SECRET, { mode: 0o644 });
  const other = createServer((_, answer) => void answer.end("something else"));
  await new Promise<void>((done) => other.listen(0, "127.0.0.1", done));
  const { port } = other.address() as AddressInfo;
  const wrong = withHook({ secretFile, port, framesFolder: join(folder, "none") });
  const { lines, ok } = await checkHook(wrong, {});
  const { lines: signed } = await checkHook(wrong, known);
  other.close();
  expect(lines).toEqual([
    `WRONG  Others may read the secret in ${secretFile}: make it its owner's alone with chmod 600.`,
    expect.stringMatching(
      /^WRONG {2}The telescope's hook cannot listen at 127.0.0.1:\d+ \(EADDRINUSE\): set telescope/,
    ),
    expect.stringMatching(
      /^WRONG {2}telescope.hook.framesFolder: there is no folder .*none; make it, or name another\.$/,
    ),
  ]);
  expect(ok).toBe(false);
  expect(signed[1]).toBe(lines[1]);
});

test("a port on which the program itself listens, with the same secret, is right", async () => {
  const conversation = { next: () => expect.fail(), hear: () => expect.fail() };
  const web = buildListener({
    secret: SECRET,
    clock: systemClock(),
    log: silentLog,
    conversation,
    largestFrame: 1,
  });
  await web.listen({ host: "127.0.0.1", port: 0 });
  const { port } = web.server.address() as AddressInfo;
  const { lines } = await checkHook(withHook({ port }), known);
  const { lines: other } = await checkHook(withHook({ port }), { [SECRET_VARIABLE]: "f".repeat(32) });
  await web.close();
  expect(lines[1]).toBe(`right  Nightslate listens at 127.0.0.1:${port} already, with this secret.`);
  expect(other[1]).toMatch(/^WRONG/);
});
