/** What was found damaged and what became of it, in one sentence for the operator. */
import { listed, stretchesOf } from "../base/english.js";
import type { Loaded } from "./load.js";
import type { Mended } from "./store.js";

/** Names the entries that are lost, and the requests that may be. */
export function rescueReport({ what, keptAs, lostIds, soundEntries }: Mended, loaded: Loaded): string {
  const found =
    lostIds.length === 0
      ? "its structure was damaged, but every entry could be read"
      : `${lostIds.length === 1 ? "entry" : "entries"} ${ranges(lostIds)} could not be read`;
  const dependent =
    loaded.passedOver === 0 ? "" : ` (${dependents(loaded.passedOver, lostIds.length)} passed over)`;
  return `The journal ${what} was mended: ${found}${dependent}; ${soundEntries} sound entries are in use, and the damaged file is kept as ${keptAs}.${lostRequests(loaded)}`;
}

function dependents(events: number, lost: number): string {
  const which = events === 1 ? "1 later event" : `${events} later events`;
  return `${which} that depended on ${lost === 1 ? "it" : "them"} ${events === 1 ? "was" : "were"}`;
}

/** Numbers up to the highest given under which there is no request; they are not given again. */
function lostRequests({ draft }: Loaded): string {
  const missing: number[] = [];
  for (let number = 1; number < draft.nextNumber; number++) {
    if (!draft.requests.has(number)) missing.push(number);
  }
  if (missing.length === 0) return "";
  return missing.length === 1
    ? ` Request ${ranges(missing, "#")} may have been lost with it: whoever was told this number should ask again.`
    : ` Requests ${ranges(missing, "#")} may have been lost with it: whoever was told one of these numbers should ask again.`;
}

/** "3, 7 to 9 and 12". */
function ranges(numbers: readonly number[], before = ""): string {
  return listed(
    stretchesOf(numbers).map(({ first, last }) =>
      first === last ? `${before}${first}` : `${before}${first} to ${before}${last}`,
    ),
  );
}
