/**
 * The least a forecast could do: highest first in typed arrays, with slew and dome times, and nothing else
 * (no windows, tiers, filters, reasons or results). What the night engine is measured against.
 */
import type { UtcMillis } from "../../base/units.js";
import { DEGREES_PER_RADIAN, RADIANS_PER_DEGREE } from "../../base/units.js";
import type { NightInput } from "../../forecast/night-run.js";
import type { Axis } from "../../observatory/observatory.js";
import { nightOf } from "../../sky/night.js";
import { siderealGain, siderealRadians } from "../../sky/sidereal.js";
import { trackOf } from "../../sky/track.js";

/** Prepares the arrays once; each call of the result plays the night and returns when it ends. */
export function bareLoop(night: NightInput): () => UtcMillis {
  const { observatory, nowUnixMs, waiting } = night;
  const { site, mount, camera } = observatory;
  const targets = [...new Map(waiting.map((request) => [request.target.id, request.target])).values()];
  const place = new Map(targets.map((target, index) => [target.id, index]));
  const tracks = targets.map((target) => trackOf(target, nightOf(nowUnixMs, site.timeZone), site));
  const s0 = Float64Array.from(tracks, (track) => track.s0);
  const s1 = Float64Array.from(tracks, (track) => track.s1);
  const s2 = Float64Array.from(tracks, (track) => track.s2);
  const ra = Float64Array.from(tracks, ({ direction }) => Math.atan2(direction.y, direction.x));
  const dec = Float64Array.from(tracks, ({ direction }) => Math.asin(direction.z));
  const counts = new Int32Array(targets.length);
  for (const { target } of waiting) counts[place.get(target.id) as number]!++;
  const left = new Int32Array(targets.length);
  const latitude = site.latitudeDegrees * RADIANS_PER_DEGREE;
  const rotation = observatory.dome?.rotation ?? mount.firstAxis;
  const fixedMs = (mount.settleSeconds + 1 + camera.readOutSeconds + observatory.handOverSeconds) * 1_000;
  const theta0 = siderealRadians(nowUnixMs, site);

  return () => {
    left.set(counts);
    let unixMs = nowUnixMs;
    let hour = 0;
    let declination = 90;
    let slit = 0;
    for (let taken = 0; taken < waiting.length; taken++) {
      const theta = theta0 + siderealGain(unixMs - nowUnixMs);
      const cosine = Math.cos(theta);
      const sine = Math.sin(theta);
      let best = -1;
      let highest = -2;
      for (let index = 0; index < left.length; index++) {
        if (left[index] === 0) continue;
        const up = s0[index]! + s1[index]! * cosine + s2[index]! * sine;
        if (up > highest) {
          highest = up;
          best = index;
        }
      }
      left[best]!--;
      const hourAngle = theta - ra[best]!;
      const turns = Math.round(hourAngle / (2 * Math.PI));
      const nextHour = (hourAngle - turns * 2 * Math.PI) * DEGREES_PER_RADIAN;
      const nextDeclination = dec[best]! * DEGREES_PER_RADIAN;
      const east = -Math.cos(dec[best]!) * Math.sin(hourAngle);
      const north = (Math.sin(dec[best]!) - Math.sin(latitude) * highest) / Math.cos(latitude);
      const nextSlit = Math.atan2(east, north) * DEGREES_PER_RADIAN;
      const slew = Math.max(
        moveMs(nextHour - hour, mount.firstAxis),
        moveMs(nextDeclination - declination, mount.secondAxis),
      );
      const away = Math.abs(nextSlit - slit) % 360;
      const dome = moveMs(away > 180 ? 360 - away : away, rotation);
      unixMs += Math.max(slew, dome) + fixedMs;
      hour = nextHour;
      declination = nextDeclination;
      slit = nextSlit;
    }
    return unixMs;
  };
}

function moveMs(degrees: number, { speed, acceleration }: Axis): number {
  const distance = Math.abs(degrees);
  if (distance * acceleration <= speed * speed) return 2_000 * Math.sqrt(distance / acceleration);
  return 1_000 * (distance / speed + speed / acceleration);
}
