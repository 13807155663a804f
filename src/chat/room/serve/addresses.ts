/** Under which addresses phones on the same network find this machine. */
import { networkInterfaces } from "node:os";

/** Private networks first (RFC 1918): that is what a classroom has. */
const PRIVATE = /^(192\.168\.|10\.|172\.(1[6-9]|2\d|3[01])\.)/;

/** IPv4 addresses of this machine other than loopback, the likeliest first. */
export function lanAddresses(): string[] {
  const found = Object.values(networkInterfaces())
    .flatMap((list) => list ?? [])
    .filter((each) => each.family === "IPv4" && !each.internal && !each.address.startsWith("169.254."))
    .map((each) => each.address);
  return found.sort((a, b) => Number(PRIVATE.test(b)) - Number(PRIVATE.test(a)));
}

/** Whether a host to listen on is this machine alone. */
export function isLoopback(host: string): boolean {
  return host === "localhost" || host === "::1" || /^127\./.test(host);
}

/** An address as it is typed into a browser. */
export function addressOf(host: string, port: number): string {
  return `http://${host.includes(":") ? `[${host}]` : host}:${port}`;
}
