/** Which names a browser may use for this server: so that no other site can speak through a visitor's browser. */
import { isIP } from "node:net";
import { hostname } from "node:os";

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
