/** One practice frame from sky to disk: pixels, verdict, FITS file, preview. Runs in a worker. */
import { mkdir, rename, writeFile } from "node:fs/promises";
import { dirname } from "node:path";
import { DateTime } from "luxon";
import type { Verdict } from "../../journal/events.js";
import { appearanceOf } from "../../sky/appearance.js";
import type { StarList } from "../../sky/load-stars.js";
import type { Target } from "../../sky/target.js";
import { encodeFits } from "../fits.js";
import { judgeFrame } from "../judge-frame.js";
import { type PreviewLabels, type PreviewSettings, previewPng } from "../preview.js";
import type { Exposure } from "./exposure.js";
import { type SimulatedFrame, simulate } from "./frame.js";

/** Plain data, so that it can be handed to a worker. */
export interface FrameJob {
  readonly exposure: Exposure;
  readonly requestNumber: number;
  /** 1-based. */
  readonly index: number;
  /** Absolute paths. */
  readonly fitsPath: string;
  readonly previewPath: string;
}

/**
 * Simulates, judges and writes one frame.
 * @throws {Error} when a file cannot be written; neither file is then left half-written
 */
export async function makeFrameFiles(job: FrameJob, stars: StarList): Promise<Verdict> {
  const { exposure } = job;
  const frame = simulate(exposure, stars);
  const verdict = judgeFrame(frame.image, {
    ...frame.circumstances,
    camera: exposure.observatory.camera,
    exposureSeconds: exposure.exposureSeconds,
    equipment: exposure.equipment,
    moonInFrame: exposure.target.id === "moon",
  });
  const preview = await previewPng(
    frame.image,
    previewSettings(exposure.target, frame, verdict),
    previewLabels(job, frame, verdict),
  );
  await mkdir(dirname(job.fitsPath), { recursive: true });
  await mkdir(dirname(job.previewPath), { recursive: true });
  await writeWhole(job.fitsPath, encodeFits(frame.image, frame.cards));
  await writeWhole(job.previewPath, preview);
  return verdict;
}

/** Small targets are shown larger: the middle of the frame, at least this share of it. */
const LEAST_SHARE = 0.12;
/** The part shown is this many times the target's size. */
const ROOM_AROUND = { fixed: 6, body: 6 } as const;
/** Saturn's rings reach 2.27 times as far as its ball (NASA's fact sheet: A ring 136 780 km, radius 60 268 km). */
const RINGS = 2.27;

/** Which part of the frame a preview shows, and how. */
export function previewSettings(target: Target, frame: SimulatedFrame, verdict: Verdict): PreviewSettings {
  const { arcsecondsPerPixel, width } = frame.field;
  const size = sizeArcseconds(target, frame.circumstances.midUnixMs);
  const wanted = size === null ? 1 : (ROOM_AROUND[target.kind] * size) / (width * arcsecondsPerPixel);
  return {
    share: Math.min(1, Math.max(LEAST_SHARE, wanted)),
    arcsecondsPerPixel,
    disc: target.kind === "body",
    black: verdict.is !== "usable",
  };
}

/** What is written on and under a preview. */
export function previewLabels(job: FrameJob, frame: SimulatedFrame, verdict: Verdict): PreviewLabels {
  const { exposure, requestNumber, index } = job;
  const { site } = exposure.observatory;
  const { filter, airmass, altitudeDegrees } = frame.circumstances;
  const time = DateTime.fromMillis(exposure.startUnixMs, { zone: site.timeZone, locale: "en-GB" });
  const when = time.toFormat("d LLL yyyy HH:mm:ss ZZZZ");
  return {
    title: `#${requestNumber} ${exposure.target.name}`,
    lines: [
      `${filter.name} · ${exposure.exposureSeconds} s · frame ${index} · ${when} · ` +
        `altitude ${Math.round(altitudeDegrees)}°, airmass ${airmass.toFixed(2)}`,
    ],
    across: "SIMULATED",
    verdict: verdict.is === "usable" ? null : nothingSeen(verdict),
  };
}

type Spoilt = Exclude<Verdict, { is: "usable" }>;

function nothingSeen({ because, sunAltitudeDegrees }: Spoilt): string {
  switch (because) {
    case "sun-up":
      return `Black: the Sun's altitude was ${sunAltitudeDegrees.toFixed(1)}°`.replace("-", "−");
    case "cloud":
      return "Black: cloud";
    case "dome-shut":
      return "Black: the dome was shut";
    case "no-camera":
      return "Synthetic: no camera fitted";
    case "unknown":
      return "Black: cause unknown";
  }
}

/** null where the whole field is worth showing. */
function sizeArcseconds(target: Target, unixMs: number): number | null {
  if (target.kind === "fixed") return target.sizeArcminutes === null ? null : target.sizeArcminutes * 60;
  const { diameterArcseconds } = appearanceOf(target.body, unixMs);
  return target.body === "Saturn" ? diameterArcseconds * RINGS : diameterArcseconds;
}

/** Under another name first, so that nobody reads half a file. */
async function writeWhole(path: string, bytes: Uint8Array): Promise<void> {
  await writeFile(`${path}.part`, bytes);
  await rename(`${path}.part`, path);
}
