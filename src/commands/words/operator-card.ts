/** What an operator needs to know of one request at the telescope, and the buttons that say what became of it. */
import type { Button } from "../../base/button.js";
import { clockTime, type Phrase, relative, say, strong } from "../../base/phrase.js";
import { DEGREES_PER_RADIAN, type Degrees } from "../../base/units.js";
import type { Step } from "../../forecast/night-run.js";
import { wishWords } from "../../notices/words/amounts.js";
import type { Request } from "../../queue/request.js";
import { equatorial } from "../../sky/place-at.js";
import { horizontalOf, placeAt, trackOf } from "../../sky/track.js";
import { nightAt } from "../plan/sky-view.js";
import type { Present } from "../services.js";
import { heightWords } from "./height-words.js";
import { holdPhrase } from "./telescope-words.js";

/** The operator's card: what is under way, or else what comes next; null heading for nothing. */
export interface OperatorCard {
  readonly request: Request | null;
  /** "Next: #12 Ring Nebula (M57)", "Nothing is waiting". */
  readonly title: string;
  readonly lines: readonly Phrase[];
  readonly actions: readonly Button[];
}

/** The card as it is at an instant. */
export function operatorCard(services: Present): OperatorCard {
  const { state } = services.desk;
  const under = state.taken ? state.requests.get(state.taken.number) : undefined;
  if (under && state.taken) {
    const due = say`Taken ${relative(state.taken.takenUnixMs)}, done about ${clockTime(state.taken.freeUnixMs)}.`;
    return cardOf(
      "Under way",
      under,
      [due],
      [mark(under, "done"), mark(under, "failed"), mark(under, "stopped")],
      services,
    );
  }
  const step = services.forecast.nextStep(services.now);
  if (step.do === "take") return cardOf("Next", step.request, [], [mark(step.request, "taken")], services);
  return { request: null, actions: [], ...idleCard(services, step) };
}

function cardOf(
  when: string,
  request: Request,
  first: readonly Phrase[],
  actions: readonly Button[],
  services: Present,
): OperatorCard {
  const title = `${when}: #${request.number} ${request.target.name}`;
  return { request, title, lines: [...first, ...pointingLines(request, services)], actions };
}

/** Where it stands and what to expose. */
export function pointingLines(request: Request, { config, now }: Present): Phrase[] {
  const { observatory } = config;
  const { site } = observatory;
  const { target } = request;
  const place = equatorial(target, now, site);
  const track = trackOf(target, nightAt(now, observatory), site);
  const { altitudeDegrees } = horizontalOf(track, now, site);
  const hourAngle = (placeAt(track, now).hourAngleRadians * DEGREES_PER_RADIAN) / 15;
  const ofDate = coordinates(
    place.rightAscensionRadians * DEGREES_PER_RADIAN,
    place.declinationRadians * DEGREES_PER_RADIAN,
  );
  return [
    say`${strong(wishWords(request))}.`,
    say`Of date: ${strong(ofDate)}.`,
    ...(target.kind === "fixed" ? [say`J2000: ${coordinates(target.raDegrees, target.decDegrees)}.`] : []),
    say`It stands ${heightWords(altitudeDegrees)}, hour angle ${hourAngleWords(hourAngle)}.`,
  ];
}

function idleCard(services: Present, { because, untilUnixMs }: Extract<Step, { do: "wait" }>) {
  if (because === "hold") return { title: "Nothing is taken now", lines: [holdPhrase(services) ?? []] };
  if (because === "no-requests") return { title: "Nothing is waiting", lines: [] };
  const first = services.forecast.order()[0];
  const next = first && services.desk.state.requests.get(first.number);
  const comes =
    next && first.startUnixMs !== null
      ? [say`#${next.number} ${next.target.name} comes next, about ${clockTime(first.startUnixMs)}.`]
      : [];
  const again = Number.isFinite(untilUnixMs) ? [say`Look again at ${clockTime(untilUnixMs)}.`] : [];
  return { title: "Nothing can be observed now", lines: comes.length > 0 ? comes : again };
}

function mark({ number }: Request, what: string): Button {
  const label = `${what.charAt(0).toUpperCase()}${what.slice(1)}`;
  return { command: "mark", options: { request: number, what }, label, onlyFor: null, about: number };
}

/** "05h 35m 17.3s, −05° 23′ 28″". */
function coordinates(rightAscensionDegrees: Degrees, declinationDegrees: Degrees): string {
  const tenths = Math.round(((((rightAscensionDegrees / 15) % 24) + 24) % 24) * 36_000) % 864_000;
  const seconds = Math.round(Math.abs(declinationDegrees) * 3_600);
  const sign = declinationDegrees < 0 ? "−" : "+";
  const two = (value: number): string => String(Math.floor(value)).padStart(2, "0");
  const ra = `${two(tenths / 36_000)}h ${two((tenths / 600) % 60)}m ${((tenths % 600) / 10).toFixed(1).padStart(4, "0")}s`;
  return `${ra}, ${sign}${two(seconds / 3_600)}° ${two((seconds / 60) % 60)}′ ${two(seconds % 60)}″`;
}

/** "1 h 12 min west of the meridian". */
function hourAngleWords(hours: number): string {
  const minutes = Math.round(Math.abs(hours) * 60);
  if (minutes === 0) return "on the meridian";
  const [whole, rest] = [Math.floor(minutes / 60), minutes % 60];
  const length = whole === 0 ? `${rest} min` : `${whole} h ${String(rest).padStart(2, "0")} min`;
  return `${length} ${hours < 0 ? "east" : "west"} of the meridian`;
}
