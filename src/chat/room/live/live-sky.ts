/** Points of the sky for the drawn dome: what is asked for, the Moon, bright stars. The page turns them with the sky. */
import { DEGREES_PER_RADIAN, type UtcMillis } from "../../../base/units.js";
import { groupOf } from "../../../commands/people/people.js";
import { nightAt } from "../../../commands/plan/sky-view.js";
import type { Services } from "../../../commands/services.js";
import { shortName } from "../../../commands/words/target-words.js";
import type { Config } from "../../../config/config.js";
import { maskAltitude } from "../../../observatory/horizon-mask.js";
import type { Request } from "../../../queue/request.js";
import { moonPhase } from "../../../sky/moon.js";
import type { Catalogue } from "../../../sky/names/catalogue.js";
import type { Night } from "../../../sky/night.js";
import { bodyTrack, placeAt, type Track, trackOf } from "../../../sky/track.js";
import { MASK_STEP_DEGREES, type ServerMessage, type WireStar, type WireTarget } from "../wire.js";

type SkyMessage = Omit<Extract<ServerMessage, { t: "sky" }>, "clock" | "t">;

/** As many as can be told apart on a small drawing. */
const MOST_TARGETS = 24;
const FAINTEST_LANDMARK = 2.3;

export class LiveSky {
  private night: Night | null = null;
  private readonly tracks = new Map<string, Track>();
  private landmarks: readonly {
    readonly track: Track;
    readonly label: string;
    readonly magnitude: number;
  }[] = [];

  constructor(
    private readonly services: Services,
    private readonly classId: string,
  ) {}

  /** What is asked for, and the Moon, at the clock's now. */
  now(): SkyMessage {
    const now = this.services.clock.now();
    this.turnNight(now);
    return { targets: this.targets(now), moon: this.moon(now) };
  }

  /** Bright stars at the clock's now. */
  stars(): WireStar[] {
    const now = this.services.clock.now();
    this.turnNight(now);
    return this.landmarks.map(({ track, label, magnitude }) => ({ label, ...point(track, now), magnitude }));
  }

  private turnNight(now: UtcMillis): void {
    const { observatory } = this.services.config;
    const night = nightAt(now, observatory);
    if (this.night?.date === night.date) return;
    this.night = night;
    this.tracks.clear();
    this.landmarks = brightStars(this.services.catalogue).map((star) => ({
      track: trackOf(star, night, observatory.site),
      label: star.name,
      magnitude: star.magnitude ?? FAINTEST_LANDMARK,
    }));
  }

  /** One point for each target, however many ask for it; the earliest turns first. */
  private targets(now: UtcMillis): WireTarget[] {
    const { desk, forecast } = this.services;
    const byTarget = new Map<string, { requests: Request[]; place: number | null }>();
    const numbers = [...(desk.state.taken ? [desk.state.taken.number] : [])];
    const places = new Map(numbers.map((number): [number, number | null] => [number, 0]));
    for (const { number, place } of forecast.order()) places.set(number, place);
    for (const [number, place] of places) {
      const request = desk.state.requests.get(number);
      if (request?.classId !== this.classId) continue;
      const found = byTarget.get(request.target.id) ?? { requests: [], place };
      found.requests.push(request);
      byTarget.set(request.target.id, found);
    }
    return [...byTarget.values()]
      .slice(0, MOST_TARGETS)
      .map(({ requests, place }) => this.target(requests, place, now));
  }

  private target(requests: readonly Request[], place: number | null, now: UtcMillis): WireTarget {
    const { config, desk } = this.services;
    const [first] = requests as readonly [Request, ...Request[]];
    const groups = requests.map((each) => groupOf(each.owner, each.classId, desk.state, config));
    return {
      label: shortName(first.target),
      ...point(this.trackFor(first, config), now),
      ids: requests.flatMap((each) => [each.owner, ...each.sharers]).slice(0, 60),
      groups: [...new Set(groups.filter((group) => group !== null))],
      place,
    };
  }

  private trackFor({ target }: Request, { observatory }: Config): Track {
    const known = this.tracks.get(target.id);
    if (known) return known;
    const track = trackOf(target, this.night as Night, observatory.site);
    this.tracks.set(target.id, track);
    return track;
  }

  private moon(now: UtcMillis): SkyMessage["moon"] {
    const { site } = this.services.config.observatory;
    const phase = moonPhase(now);
    return {
      label: "Moon",
      ...point(bodyTrack("Moon", this.night as Night, site), now),
      lit: Math.round(phase.illuminatedFraction * 100) / 100,
      waxing: phase.elongationDegrees < 180,
    };
  }
}

/** The horizon mask's altitude at azimuth 0, 5, … 355. */
export function maskOutline({ observatory }: Config): number[] {
  return Array.from({ length: 360 / MASK_STEP_DEGREES }, (_, index) =>
    Math.max(0, Math.round(maskAltitude(index * MASK_STEP_DEGREES, observatory.limits) * 10) / 10),
  );
}

function brightStars(catalogue: Catalogue) {
  return catalogue.targets.filter(
    (target) =>
      target.kind === "fixed" && /star$/.test(target.type) && (target.magnitude ?? 99) <= FAINTEST_LANDMARK,
  ) as Extract<Catalogue["targets"][number], { kind: "fixed" }>[];
}

function point(track: Track, now: UtcMillis): { ha: number; dec: number } {
  const { hourAngleRadians, declinationRadians } = placeAt(track, now);
  return { ha: hundredths(hourAngleRadians), dec: hundredths(declinationRadians) };
}

function hundredths(radians: number): number {
  return Math.round(radians * DEGREES_PER_RADIAN * 100) / 100;
}
