/** A winter night in which every one of the requests gets its turn, so that every decision is paid for. */
import { seededRandom } from "../../base/random.js";
import { HOUR, RADIANS_PER_DEGREE } from "../../base/units.js";
import type { NightInput } from "../../forecast/night-run.js";
import { CONFIGURED_OVERHEADS, type Observatory } from "../../observatory/observatory.js";
import { parkedPointing } from "../../observatory/pointing.js";
import { type Request, waitingRequest } from "../../queue/request.js";
import { nightNamed } from "../../sky/night.js";
import type { FixedTarget } from "../../sky/target.js";
import { exampleConfig } from "./example.js";

/** Quick machines and one-second exposures: ten thousand requests fit between dusk and dawn. */
function quickObservatory(): Observatory {
  const { observatory } = exampleConfig();
  const axis = { speed: 20, acceleration: 20 };
  return {
    ...observatory,
    handOverSeconds: 0.5,
    mount: { ...observatory.mount, firstAxis: axis, secondAxis: axis, settleSeconds: 0.2 },
    dome: observatory.dome && { ...observatory.dome, rotation: axis },
    camera: { ...observatory.camera, readOutSeconds: 0.5, filterStepSeconds: 0.2 },
  };
}

/** The same queue every time: seeded, five filters, 24 owners, asked one second apart in the afternoon. */
export function benchNight(requests: number, targets: number): NightInput {
  const observatory = quickObservatory();
  const night = nightNamed("2026-12-15", observatory.site.timeZone);
  const { uniform } = seededRandom(1);
  const pick = <Item>(items: readonly Item[]): Item => items[Math.floor(uniform() * items.length)] as Item;
  const sky = Array.from({ length: targets }, (_, index) => upAllNight(index, uniform));
  const filters = observatory.camera.filters.map((filter) => filter.name);
  const waiting = Array.from(
    { length: requests },
    (_, index): Request => ({
      ...waitingRequest({
        number: index + 1,
        target: pick(sky),
        filter: pick(filters),
        exposureSeconds: 1,
        frames: 1,
        notBeforeUnixMs: null,
        owner: `terminal:student-${Math.floor(uniform() * 24)}`,
        tier: 1,
        askedUnixMs: night.startUnixMs + index * 1_000,
      }),
      classId: "evening-2",
      via: { surface: "terminal", channel: "class" },
    }),
  );
  return {
    nowUnixMs: night.startUnixMs + 5 * HOUR,
    untilUnixMs: night.endUnixMs,
    observatory,
    overheads: CONFIGURED_OVERHEADS,
    rule: "highest-first",
    waiting,
    current: null,
    pointing: parkedPointing(observatory),
    holdUntilUnixMs: null,
    takenTonight: new Map(),
  };
}

/** Evenly over the part of the sky that never sets below 24° at Tern Hollow. */
function upAllNight(index: number, uniform: () => number): FixedTarget {
  const lowest = Math.sin(72 * RADIANS_PER_DEGREE);
  return {
    kind: "fixed",
    id: `T${index}`,
    name: `T${index}`,
    type: "galaxy",
    raDegrees: uniform() * 360,
    decDegrees: Math.asin(lowest + (1 - lowest) * uniform()) / RADIANS_PER_DEGREE,
    magnitude: 8,
    sizeArcminutes: null,
  };
}
