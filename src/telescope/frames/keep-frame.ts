/** One frame kept, from any telescope: verdict, preview, and both files whole on disk. Runs in a worker. */
import { mkdir } from "node:fs/promises";
import { dirname } from "node:path";
import { DateTime } from "luxon";
import type { Degrees, UtcMillis } from "../../base/units.js";
import type { Verdict } from "../../journal/events.js";
import { pixelScaleArcseconds, saturationElectrons } from "../../observatory/photometry.js";
import { magnitudeAt, sizeAt } from "../../sky/magnitude.js";
import type { Target } from "../../sky/target.js";
import type { Circumstances, Exposure } from "./exposure.js";
import type { Card } from "./fits-cards.js";
import { type ConfiguredLimits, judgeFrame } from "./judge-frame.js";
import { type WholeFile, writeAll } from "./kept-files.js";
import type { PixelImage } from "./pixel-statistics.js";
import { type PreviewLabels, type PreviewSettings, previewPng } from "./preview.js";
import { worldCoordinates } from "./world-coordinates.js";

/** Plain data, so that it can be handed to a worker. */
export interface FrameJob {
  readonly exposure: Exposure;
  readonly requestNumber: number;
  /** 1-based. */
  readonly index: number;
  /** Said across the picture. */
  readonly simulated: boolean;
  /** Median of this night's usable frames so far; null for too few. */
  readonly usualFwhmArcseconds: number | null;
  /** From where the dome's slit had to face to where it stood; null where that is not known. */
  readonly slitOffDegrees: Degrees | null;
  readonly limits: ConfiguredLimits;
  /** Said in the header of what is kept: number, class, target. */
  readonly cards: readonly Card[];
  /** Absolute paths. */
  readonly fitsPath: string;
  readonly previewPath: string;
}

/**
 * Judges and writes one frame.
 * @param fits the file's bytes
 * @throws {Error} when a file cannot be written; neither file is then left on disk, whole or in part
 */
export async function keepFrame(
  job: FrameJob,
  image: PixelImage & { readonly cards?: readonly Card[] },
  fits: WholeFile["bytes"],
  circumstances: Circumstances,
): Promise<Verdict> {
  const { exposure, fitsPath, previewPath } = job;
  const verdict = judge(image, exposure, circumstances, job);
  const preview = previewPng(
    image,
    previewSettings(exposure, circumstances, verdict),
    previewLabels(job, circumstances, verdict),
  );
  await mkdir(dirname(fitsPath), { recursive: true });
  const files = [
    { path: fitsPath, bytes: fits },
    { path: previewPath, bytes: preview },
  ];
  await writeAll(files, dirname(fitsPath));
  return verdict;
}

const BY_WHAT_IS_USUAL = {
  simulated: true,
  usualFwhmArcseconds: null,
  slitOffDegrees: null,
  limits: { trailedElongation: null, outOfFocusArcseconds: null },
};

/** What the pixels of an exposure show, and its header of where they are. */
export function judge(
  image: PixelImage & { readonly cards?: readonly Card[] },
  exposure: Exposure,
  circumstances: Circumstances,
  of: Pick<FrameJob, keyof typeof BY_WHAT_IS_USUAL> = BY_WHAT_IS_USUAL,
): Verdict {
  const { target, exposureSeconds, equipment, observatory, startUnixMs } = exposure;
  return judgeFrame(image, {
    ...circumstances,
    camera: observatory.camera,
    exposureSeconds,
    equipment,
    targetMagnitude: sharpMagnitude(target, startUnixMs),
    moonInFrame: target.id === "moon",
    discArcseconds: target.kind === "body" ? sizeArcseconds(target, circumstances.midUnixMs, 1) : null,
    world: worldCoordinates(image.cards ?? []),
    dome: observatory.dome,
    ...of,
  });
}

/** Magnitude of a star, a planet or the Moon; null for targets whose light is spread out. */
function sharpMagnitude(target: Target, unixMs: UtcMillis): number | null {
  const isSharp = target.kind === "body" || target.type === "minor planet" || /\bstar$/.test(target.type);
  return isSharp ? magnitudeAt(target, unixMs) : null;
}

/** Small targets are shown larger: the middle of the frame, at least this share of it. */
const LEAST_SHARE = 0.12;
/** The part shown is this many times the target's size. */
const ROOM_AROUND = 6;
/** Saturn's rings reach 2.27 times as far as its ball (NASA's fact sheet: A ring 136 780 km, radius 60 268 km). */
const RINGS = 2.27;

/** Which part of the frame a preview shows, and how. */
export function previewSettings(
  { target, observatory }: Exposure,
  { midUnixMs }: Circumstances,
  verdict: Verdict,
): PreviewSettings {
  const { camera } = observatory;
  const arcsecondsPerPixel = pixelScaleArcseconds(camera);
  const size = sizeArcseconds(target, midUnixMs);
  const wanted = size === null ? 1 : (ROOM_AROUND * size) / (camera.widthPixels * arcsecondsPerPixel);
  return {
    share: Math.min(1, Math.max(LEAST_SHARE, wanted)),
    arcsecondsPerPixel,
    disc: target.kind === "body",
    fullAdu: camera.biasAdu + saturationElectrons(camera) / camera.gainElectronsPerAdu,
    black: verdict.is === "black" || verdict.is === "synthetic",
  };
}

/** What is written on and under a preview. */
export function previewLabels(job: FrameJob, circumstances: Circumstances, verdict: Verdict): PreviewLabels {
  const { exposure, requestNumber, index } = job;
  const { site } = exposure.observatory;
  const { filter, airmass, altitudeDegrees } = circumstances;
  const when = DateTime.fromMillis(exposure.startUnixMs, { zone: site.timeZone, locale: "en-US" });
  const height = `altitude ${Math.round(altitudeDegrees)}°`.replace("-", "−");
  const parts = [
    filter.name,
    `${exposure.exposureSeconds} s`,
    `frame ${index}`,
    when.toFormat("d LLL yyyy HH:mm:ss ZZZZ"),
    altitudeDegrees > 0 ? `${height}, airmass ${airmass.toFixed(2)}` : height,
  ];
  return {
    title: `#${requestNumber} ${exposure.target.name}`,
    lines: [parts.join(" · ")],
    across: job.simulated ? "SIMULATED" : null,
    verdict: verdict.is === "usable" ? null : spoiltWords(verdict),
  };
}

function overexposed(saturatedShare: number): string {
  return `Overexposed: ${Math.round(100 * saturatedShare)} % of the pixels are full`;
}

type Spoilt = Exclude<Verdict, { is: "usable" }>;

function spoiltWords({ is, because, sunAltitudeDegrees, saturatedShare, saturatedDisc }: Spoilt): string {
  switch (because) {
    case "sun-up":
      return `Black: the Sun's altitude was ${sunAltitudeDegrees.toFixed(1)}°`.replace("-", "−");
    case "cloud":
      return "Black: cloud";
    case "dome-shut":
      return "Black: the dome was shut";
    case "slit-away":
      return "Black: the dome's slit was elsewhere";
    case "no-camera":
      return is === "synthetic" ? "Synthetic: no camera fitted" : "Black: no camera was read out";
    case "too-short":
      return "Black: too short an exposure";
    case "no-light":
      return "Black: no light reached the camera";
    case "over-exposed":
      return saturatedDisc === undefined
        ? overexposed(saturatedShare ?? 1)
        : `Overexposed: ${Math.round(100 * saturatedDisc)} % of the disc is full`;
    case "off-target":
      return "Beside its target";
    case "trailed":
      return "Trailed";
    case "out-of-focus":
      return "Out of focus";
    case "unknown":
      return "Black: cause unknown";
  }
}

/** null where the whole field is worth showing. */
function sizeArcseconds(target: Target, unixMs: number, rings = RINGS): number | null {
  const size = sizeAt(target, unixMs);
  return size === null ? null : size * 60 * (target.id === "saturn" ? rings : 1);
}
