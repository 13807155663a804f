/** Which request a frame is for: by its number, else by place, filter and time; never a guess. */
import { type Degrees, MINUTE } from "../../base/units.js";
import type { State } from "../../journal/state.js";
import type { Observatory } from "../../observatory/observatory.js";
import type { Request } from "../../queue/request.js";
import { centreOf } from "../frames/exposure.js";
import { apartDegrees } from "../frames/world-coordinates.js";
import type { FrameFacts } from "./frame-facts.js";

/** A request that a frame may be for, and what speaks against it. */
export interface Candidate {
  readonly request: Request;
  /** null where the header does not say where the frame is. */
  readonly offDegrees: Degrees | null;
  /** Clauses: "filter R instead of V"; none for one that fits. */
  readonly against: readonly string[];
}

export type Match =
  | { readonly is: "found"; readonly request: Request }
  /** One sentence, and the nearest requests. */
  | { readonly is: "unclear"; readonly why: string; readonly candidates: readonly Candidate[] };

export interface MatchLimits {
  readonly observatory: Observatory;
  readonly toleranceDegrees: Degrees;
}

/** Clocks of two machines may differ by this. */
const CLOCKS_APART = 2 * MINUTE;
/** Exposures are written rounded. */
const SAME_LENGTH = 0.02;
const NEAREST = 3;

export function matchFrame(facts: FrameFacts, fileName: string, state: State, limits: MatchLimits): Match {
  const said = numberIn(facts.object, fileName);
  if (said !== null) return byNumber(said, state);
  const candidates = [...state.requests.values()]
    .filter((request) => request.state === "waiting" || request.state === "taken")
    .map((request) => candidateOf(request, facts, limits));
  const fitting = candidates.filter(({ against, offDegrees }) => against.length === 0 && offDegrees !== null);
  const taken = fitting.find(({ request }) => request.state === "taken");
  const only = fitting.length === 1 ? fitting[0] : undefined;
  const found = taken ?? only;
  if (found) return { is: "found", request: found.request };
  const why = fitting.length > 1 ? "it fits several requests" : "it fits no request";
  return { is: "unclear", why, candidates: nearest(fitting.length > 1 ? fitting : candidates) };
}

/** "#12" in either, "request-12" in the file's name, or an object that is nothing but a number. */
function numberIn(object: string | null, fileName: string): number | null {
  const alone = /^0*(\d{1,7})$/.exec(object ?? "");
  const marked = /#0*(\d{1,7})(?!\d)/.exec(object ?? "") ?? /#0*(\d{1,7})(?!\d)/.exec(fileName);
  const named = /(?:^|[^a-z])req(?:uest)?[-_ ]?0*(\d{1,7})(?!\d)/i;
  const found = marked ?? alone ?? named.exec(object ?? "") ?? named.exec(fileName);
  return found ? Number(found[1]) : null;
}

function byNumber(number: number, { requests }: State): Match {
  const request = requests.get(number);
  if (request && (request.state === "waiting" || request.state === "taken")) return { is: "found", request };
  const why = request ? `#${number} is ${request.state}` : `there is no request #${number}`;
  return { is: "unclear", why, candidates: [] };
}

function candidateOf(request: Request, facts: FrameFacts, limits: MatchLimits): Candidate {
  const { filter, exposureSeconds, place, startUnixMs } = facts;
  const target = centreOf(request.target, startUnixMs, limits.observatory);
  const offDegrees = place ? apartDegrees(place, target) : null;
  const against: string[] = [];
  if (offDegrees !== null && offDegrees > limits.toleranceDegrees)
    against.push(`${offDegrees.toFixed(1)}° off`);
  if (filter !== null && !sameFilter(filter, request.filter))
    against.push(`filter ${filter} instead of ${request.filter}`);
  if (exposureSeconds !== null && Math.abs(exposureSeconds / request.exposureSeconds - 1) > SAME_LENGTH)
    against.push(`${exposureSeconds} s instead of ${request.exposureSeconds} s`);
  const sinceUnixMs = request.takenUnixMs ?? request.askedUnixMs;
  if (startUnixMs < sinceUnixMs - CLOCKS_APART) against.push("exposed before it was asked for");
  return { request, offDegrees, against };
}

/** "H-alpha", "Ha" and "Hα" are one filter; so are "v" and "V". */
function sameFilter(one: string, other: string): boolean {
  const plain = (name: string): string =>
    name
      .toLowerCase()
      .replace(/α/g, "a")
      .replace(/alpha/g, "a")
      .replace(/[^a-z0-9]/g, "");
  return plain(one) === plain(other);
}

function nearest(candidates: readonly Candidate[]): Candidate[] {
  const far = 360;
  return [...candidates]
    .sort(
      (a, b) =>
        (a.offDegrees ?? far) - (b.offDegrees ?? far) ||
        a.against.length - b.against.length ||
        a.request.number - b.request.number,
    )
    .slice(0, NEAREST);
}
