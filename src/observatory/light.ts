/** How much light a target and the sky behind it send into the camera at an instant. */
import type { UtcMillis } from "../base/units.js";
import { airmassAtTrue } from "../sky/airmass.js";
import { appearanceOf } from "../sky/appearance.js";
import { magnitudeAt } from "../sky/magnitude.js";
import { horizontal, separationDegrees } from "../sky/place-at.js";
import { skyMagnitude } from "../sky/sky-brightness.js";
import type { SmallBodyTarget, Target } from "../sky/target.js";
import { lineMagnitude } from "./glow/emission-lines.js";
import { CLUSTER, type SurfaceBrightness, surfaceOf } from "./glow/surface-brightness.js";
import type { Filter, Observatory } from "./observatory.js";
import {
  peakPixelFraction,
  pixelScaleArcseconds,
  seeingAtAirmass,
  skyElectronsPerSecond,
  starElectronsPerSecond,
} from "./photometry.js";

/**
 * What is measured: a `star` in a round aperture of one FWHM radius, in an open cluster a middling one; the heart of
 * something `extended` in one seeing disc; the mean surface of a `disc` (planet, Moon) in one pixel; nothing where no
 * magnitude is listed, or for `gas` whose light in a narrow filter's line is not known.
 */
export type LightKind = "star" | "extended" | "disc" | "unknown" | "gas";

/** Rates in electrons per second. */
export interface Light {
  readonly kind: LightKind;
  readonly airmass: number;
  readonly seeingArcseconds: number;
  /** Magnitudes per square arc second, moonlight included, twilight not. */
  readonly skyMagnitude: number;
  readonly skyPerSecondPerPixel: number;
  /** From the target, within the pixels measured; 0 when unknown. */
  readonly signalPerSecond: number;
  readonly pixels: number;
  /** From the target, in its brightest pixel (of its heart, when extended). */
  readonly peakPerSecond: number;
  /** From the outskirts of something extended, within as many pixels; null for the rest. */
  readonly outskirtsPerSecond: number | null;
}

/** Part of a Gaussian image within a radius of one FWHM: 1 − 2⁻⁴. */
const APERTURE_FRACTION = 1 - 2 ** -4;

/** The light at an instant, or null while the target is below the horizon. */
export function lightOf(
  target: Target,
  filter: Filter,
  unixMs: UtcMillis,
  observatory: Observatory,
): Light | null {
  const { altitudeDegrees } = horizontal(target, unixMs, observatory.site);
  if (altitudeDegrees <= 0) return null;
  const { camera } = observatory;
  const airmass = airmassAtTrue(altitudeDegrees);
  const seeingArcseconds = seeingAtAirmass(camera, airmass);
  const sky = skyBehind(target, filter, unixMs, altitudeDegrees, observatory);
  const scale = pixelScaleArcseconds(camera);
  return {
    ...received(target, unixMs, { filter, airmass, seeingArcseconds, scale }),
    airmass,
    seeingArcseconds,
    skyMagnitude: sky,
    skyPerSecondPerPixel: skyElectronsPerSecond(filter, camera, sky),
  };
}

interface Path {
  readonly filter: Filter;
  readonly airmass: number;
  readonly seeingArcseconds: number;
  /** Arc seconds per pixel. */
  readonly scale: number;
}

type Received = Pick<Light, "kind" | "signalPerSecond" | "pixels" | "peakPerSecond" | "outskirtsPerSecond">;

function received(target: Target, unixMs: UtcMillis, path: Path): Received {
  if (target.kind === "body") {
    const { magnitude, diameterArcseconds, illuminatedFraction } = appearanceOf(target.body, unixMs);
    const area = (Math.PI / 4) * diameterArcseconds ** 2 * illuminatedFraction;
    // A disc smaller than a pixel gives it all its light, and no more.
    const surface = magnitude + 2.5 * Math.log10(Math.max(area, path.scale ** 2));
    return fromSurface("disc", { core: surface, outskirts: null }, path.scale ** 2, path);
  }
  const seeingDisc = (Math.PI / 4) * path.seeingArcseconds ** 2;
  if (target.kind === "orbit") return fromSmallBody(target, unixMs, seeingDisc, path);
  const line = lineMagnitude(target, path.filter);
  if (line === null) return { ...unknownLight(seeingDisc, path), kind: "gas" };
  const magnitude = line ?? target.magnitude;
  if (magnitude === null) return unknownLight(seeingDisc, path);
  if (target.type === "open cluster") return fromStar(magnitude + CLUSTER.middling, path);
  if ((target.sizeArcminutes ?? 0) * 60 <= path.seeingArcseconds) return fromStar(magnitude, path);
  return fromSurface("extended", surfaceOf({ ...target, magnitude }) as SurfaceBrightness, seeingDisc, path);
}

/** A minor planet is a point of light; how wide a comet's light spreads, nobody foretells. */
function fromSmallBody(target: SmallBodyTarget, unixMs: UtcMillis, seeingDisc: number, path: Path): Received {
  const magnitude = magnitudeAt(target, unixMs);
  return magnitude === null || target.type === "comet"
    ? unknownLight(seeingDisc, path)
    : fromStar(magnitude, path);
}

function unknownLight(seeingDisc: number, { scale }: Path): Received {
  const pixels = seeingDisc / scale ** 2;
  return { kind: "unknown", signalPerSecond: 0, pixels, peakPerSecond: 0, outskirtsPerSecond: null };
}

function fromStar(magnitude: number, { filter, airmass, seeingArcseconds, scale }: Path): Received {
  const electrons = starElectronsPerSecond(filter, magnitude, airmass);
  return {
    kind: "star",
    signalPerSecond: electrons * APERTURE_FRACTION,
    pixels: (Math.PI * seeingArcseconds ** 2) / scale ** 2,
    peakPerSecond: electrons * peakPixelFraction(seeingArcseconds, scale),
    outskirtsPerSecond: null,
  };
}

/** Of a surface in magnitudes per square arc second, so many square arc seconds count. */
function fromSurface(
  kind: "extended" | "disc",
  { core, outskirts }: { readonly core: number; readonly outskirts: number | null },
  measured: number,
  { filter, airmass, scale }: Path,
): Received {
  const electrons = (surface: number): number => starElectronsPerSecond(filter, surface, airmass);
  return {
    kind,
    signalPerSecond: electrons(core) * measured,
    pixels: measured / scale ** 2,
    peakPerSecond: electrons(core) * scale ** 2,
    outskirtsPerSecond: outskirts === null ? null : electrons(outskirts) * measured,
  };
}

function skyBehind(
  target: Target,
  filter: Filter,
  unixMs: UtcMillis,
  altitudeDegrees: number,
  { site }: Observatory,
): number {
  const moonItself = target.type === "moon";
  return skyMagnitude({
    darkMagnitude: filter.skyMagnitude,
    extinction: filter.extinction,
    altitudeDegrees,
    moon: moonItself
      ? null
      : {
          phaseAngleDegrees: appearanceOf("Moon", unixMs).phaseAngleDegrees,
          altitudeDegrees: horizontal("Moon", unixMs, site).altitudeDegrees,
          separationDegrees: separationDegrees(target, "Moon", unixMs, site),
        },
  });
}
