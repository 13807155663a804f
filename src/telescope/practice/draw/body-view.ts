/** How a planet or the Moon looks from the site at an instant: size, light, lean. */
import { Body, Equator, Libration, RotationAxis } from "astronomy-engine";
import { DEGREES_PER_RADIAN, RADIANS_PER_DEGREE, type Radians, type UtcMillis } from "../../../base/units.js";
import { appearanceOf } from "../../../sky/appearance.js";
import { bodyOf, observerOf, timeOf } from "../../../sky/ephemeris.js";
import { moonsOf } from "../../../sky/planet-moons.js";
import type { Site } from "../../../sky/site.js";
import type { BodyTarget } from "../../../sky/target.js";

const KILOMETRES_PER_AU = 149_597_870.7;
const ARCSECONDS = 3600 * DEGREES_PER_RADIAN;

/** Equatorial radius in kilometres, and polar over equatorial (IAU working group: Archinal et al. 2018, CMDA 130, 22). */
const FIGURES: Readonly<Record<BodyTarget["body"], { radius: number; polar: number }>> = {
  Mercury: { radius: 2440.53, polar: 0.9991 },
  Venus: { radius: 6051.8, polar: 1 },
  Mars: { radius: 3396.19, polar: 0.9941 },
  Jupiter: { radius: 71_492, polar: 0.9351 },
  Saturn: { radius: 60_268, polar: 0.902 },
  Uranus: { radius: 25_559, polar: 0.9771 },
  Neptune: { radius: 24_764, polar: 0.9829 },
  Pluto: { radius: 1188.3, polar: 1 },
  Moon: { radius: 1737.4, polar: 1 },
};

export interface BodyView {
  /** Astrometric place (light time, no aberration), topocentric, ICRS: what the stars around it are measured in. */
  readonly raDegrees: number;
  readonly decDegrees: number;
  readonly magnitude: number;
  readonly radiusArcseconds: number;
  /** Polar over equatorial radius. */
  readonly polar: number;
  /** Sun–body–Earth angle. */
  readonly phaseRadians: Radians;
  /** Position angles, north through east: of the north pole, and of the bright limb's middle. */
  readonly poleRadians: Radians;
  readonly limbRadians: Radians;
  /** Latitude on the body of the point that faces us, and for the Moon its longitude (libration). */
  readonly facingLatitudeRadians: Radians;
  readonly facingLongitudeRadians: Radians;
  readonly distanceAu: number;
}

/** Looks a body up in the ephemeris. */
export function viewOf(target: BodyTarget, unixMs: UtcMillis, site: Site): BodyView {
  const time = timeOf(unixMs);
  const body = bodyOf(target.body);
  const observer = observerOf(site);
  const place = Equator(body, time, observer, false, false);
  const sun = Equator(Body.Sun, time, observer, false, false);
  const look = appearanceOf(target.body, unixMs);
  const figure = FIGURES[target.body];
  const axis = RotationAxis(body, time);
  const here = { ra: place.ra * 15 * RADIANS_PER_DEGREE, dec: place.dec * RADIANS_PER_DEGREE };
  const pole = { ra: axis.ra * 15 * RADIANS_PER_DEGREE, dec: axis.dec * RADIANS_PER_DEGREE };
  const moon = target.body === "Moon" ? Libration(time) : null;
  return {
    raDegrees: place.ra * 15,
    decDegrees: place.dec,
    magnitude: look.magnitude,
    radiusArcseconds: Math.asin(figure.radius / (place.dist * KILOMETRES_PER_AU)) * ARCSECONDS,
    polar: figure.polar,
    phaseRadians: look.phaseAngleDegrees * RADIANS_PER_DEGREE,
    poleRadians: positionAngle(here, pole),
    limbRadians: positionAngle(here, {
      ra: sun.ra * 15 * RADIANS_PER_DEGREE,
      dec: sun.dec * RADIANS_PER_DEGREE,
    }),
    facingLatitudeRadians: moon ? moon.elat * RADIANS_PER_DEGREE : facingLatitude(here, pole),
    facingLongitudeRadians: moon ? moon.elon * RADIANS_PER_DEGREE : 0,
    distanceAu: place.dist,
  };
}

/** A moon beside its planet: offset from the planet's centre, and magnitude. */
interface MoonView {
  readonly eastArcseconds: number;
  readonly northArcseconds: number;
  readonly magnitude: number;
}

/** Magnitudes at mean opposition, at the planet's distance there in AU (Explanatory Supplement's satellite tables, from memory). */
const MOON_MAGNITUDES: Readonly<Record<string, number>> = {
  ...{ Io: 5.0, Europa: 5.3, Ganymede: 4.6, Callisto: 5.7 },
  ...{ Titan: 8.4 },
};
const OPPOSITION_AU: Readonly<Record<string, number>> = { Jupiter: 4.2, Saturn: 8.54 };

/** The large moons of Jupiter, and Titan, as seen from the Earth; those behind the disc left out. */
export function moonViews(planet: BodyTarget["body"], view: BodyView, unixMs: UtcMillis): MoonView[] {
  return moonsOf(planet, unixMs).flatMap(({ name, eastArcseconds, northArcseconds, isBeyond }) => {
    if (isBeyond && Math.hypot(eastArcseconds, northArcseconds) < view.radiusArcseconds) return [];
    const farther = 5 * Math.log10(view.distanceAu / (OPPOSITION_AU[planet] as number));
    return [{ eastArcseconds, northArcseconds, magnitude: (MOON_MAGNITUDES[name] as number) + farther }];
  });
}

interface Direction {
  readonly ra: Radians;
  readonly dec: Radians;
}

/** Position angle of one direction as seen from another (Meeus, Astronomical Algorithms, ch. 48, formula 48.5). */
function positionAngle(from: Direction, to: Direction): Radians {
  const apart = to.ra - from.ra;
  return Math.atan2(
    Math.cos(to.dec) * Math.sin(apart),
    Math.sin(to.dec) * Math.cos(from.dec) - Math.cos(to.dec) * Math.sin(from.dec) * Math.cos(apart),
  );
}

/** Latitude of the point facing us (Meeus, ch. 42: the planetocentric declination of the Earth). */
function facingLatitude(here: Direction, pole: Direction): Radians {
  const sine =
    -Math.sin(pole.dec) * Math.sin(here.dec) -
    Math.cos(pole.dec) * Math.cos(here.dec) * Math.cos(pole.ra - here.ra);
  return Math.asin(sine);
}
