/** A checksum in front of every stored text, so that a torn or altered one is noticed. */
import { crc32 } from "node:zlib";

const SUM_LENGTH = 8;

/** `text` with its CRC-32 (ISO-HDLC polynomial, as in zlib and RFC 1952) as eight hexadecimal digits before it. */
export function seal(text: string): string {
  return `${crc32(text).toString(16).padStart(SUM_LENGTH, "0")} ${text}`;
}

/** The text that was sealed; null when it is not exactly what `seal` returned. */
export function unseal(sealed: string): string | null {
  const text = sealed.slice(SUM_LENGTH + 1);
  return sealed === seal(text) ? text : null;
}
