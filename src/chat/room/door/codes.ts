/** Codes that people type: made to be read aloud, compared in constant time. */
import { createHash, randomInt, timingSafeEqual } from "node:crypto";

/** No letter or digit that is easily taken for another (I, L, O, U, 0, 1). */
const LETTERS = "ABCDEFGHJKMNPQRSTVWXYZ23456789";

/** A random code such as "K7MQ-4XRT": `groups` groups of four, 4.9 bits a letter. */
export function makeCode(groups: number): string {
  const group = (): string =>
    Array.from({ length: 4 }, () => LETTERS.charAt(randomInt(LETTERS.length))).join("");
  return Array.from({ length: groups }, group).join("-");
}

/** Whether what was typed is the code: case, spaces and dashes don't count; takes equally long whatever differs. */
export function sameCode(typed: string, code: string): boolean {
  return timingSafeEqual(digest(plain(typed)), digest(plain(code)));
}

function plain(code: string): string {
  return code.replace(/[\s-]/g, "").toUpperCase();
}

function digest(text: string): Buffer {
  return createHash("sha256").update(text).digest();
}
