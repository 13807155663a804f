/** Under which names and addresses this machine is found, and which of them a browser may use for it. */
import { isIP } from "node:net";
import { hostname, networkInterfaces } from "node:os";

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

/**
 * Whether a `Host` header names this machine: by address, as localhost, by its own name, or by a configured
 * one. A name that somebody else's name server points here (DNS rebinding) is none of these.
 */
export function isOwnHost(host: string | undefined, configured: readonly string[]): boolean {
  if (host === undefined) return false;
  const name = host.replace(/:\d+$/, "").toLowerCase();
  const bare = name.replace(/^\[(.*)\]$/, "$1");
  const own = hostname().toLowerCase();
  return isIP(bare) !== 0 || ["localhost", own, `${own}.local`].includes(bare) || configured.includes(bare);
}

/** Whether a request comes from a page of this server itself: same scheme, name and port. */
export function isSameOrigin(origin: string | undefined, host: string | undefined): boolean {
  if (origin === undefined || host === undefined) return false;
  return (
    origin.toLowerCase() === `http://${host.toLowerCase()}` ||
    origin.toLowerCase() === `https://${host.toLowerCase()}`
  );
}
