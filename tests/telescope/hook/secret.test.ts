/** The hook's secret comes from the environment or from a file that is its owner's alone. */
import { chmodSync, mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { readSecret, SECRET_VARIABLE } from "../../../src/telescope/hook/secret.js";

const secret = "0123456789abcdef0123456789abcdef";

function file(text: string, mode: number): string {
  const path = join(mkdtempSync(join(tmpdir(), "secret-")), "hook.secret");
  writeFileSync(path, text);
  chmodSync(path, mode);
  return path;
}

test("the environment comes first, then the file, without the line's end", () => {
  expect(readSecret(file(`${"f".repeat(40)}\n`, 0o600), { [SECRET_VARIABLE]: secret })).toBe(secret);
  expect(readSecret(file(`${secret}\n`, 0o600), {})).toBe(secret);
  expect(readSecret(file(secret, 0o400), {})).toBe(secret);
});

test.each([0o640, 0o604, 0o660, 0o644])("a file of mode %o is refused: others may read it", (mode) => {
  expect(() => readSecret(file(secret, mode), {})).toThrow(/chmod 600/);
});

test("none, a short one and a file that is not there are refused with what helps", () => {
  expect(() => readSecret(null, {})).toThrow(/set NIGHTSLATE_HOOK_SECRET, or name a file of mode 600/);
  expect(() => readSecret(file("short", 0o600), {})).toThrow(/has 5 characters and needs 32/);
  expect(() => readSecret(null, { [SECRET_VARIABLE]: "short" })).toThrow(/has 5 characters and needs 32/);
  expect(() => readSecret("/no/such/file", {})).toThrow(/cannot be read from \/no\/such\/file \(ENOENT\)/);
});
