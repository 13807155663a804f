/** What a frame is to be kept as: whose it is, for what, and what is usual tonight. */
import type { Degrees, UtcMillis } from "../../base/units.js";
import type { Config } from "../../config/config.js";
import type { Equipment } from "../../journal/events.js";
import type { State } from "../../journal/state.js";
import type { Request } from "../../queue/request.js";
import { nightOf } from "../../sky/night.js";
import type { Card } from "./fits-cards.js";
import { middleOf } from "./pixel-statistics.js";

/** One frame to be kept. */
export interface FrameOrder {
  readonly request: Request;
  /** 1-based. */
  readonly index: number;
  readonly startUnixMs: UtcMillis;
  /** As reported for the time of the exposure. */
  readonly equipment: Equipment;
  /** Width of stars in this night's usable frames so far, median; null or left out for fewer than three. */
  readonly usualFwhmArcseconds?: number | null;
  /** From where the dome's slit had to face to where it stood; null or left out where that is not known. */
  readonly slitOffDegrees?: Degrees | null;
  /** Who asked; null or left out where the class does not want it said. */
  readonly askedBy?: string | null;
}

type Taken = Pick<FrameOrder, "request" | "index" | "startUnixMs" | "slitOffDegrees">;

/** Fewer frames have no median worth the name. */
const LEAST_FRAMES = 3;

/** The order for a frame, as the journal has everything else. */
export function frameOrder(taken: Taken, state: State, config: Config): FrameOrder {
  const { request, startUnixMs } = taken;
  const named = config.classes.find(({ id }) => id === request.classId)?.namesInFrames ?? false;
  return {
    ...taken,
    equipment: state.equipment,
    usualFwhmArcseconds: usualFwhm(state, startUnixMs, config),
    askedBy: named ? (state.people.get(request.owner)?.name ?? null) : null,
  };
}

function usualFwhm({ frames }: State, unixMs: UtcMillis, { observatory }: Config): number | null {
  const night = nightOf(unixMs, observatory.site.timeZone);
  const widths: number[] = [];
  for (const taken of frames.values())
    for (const { startUnixMs, verdict } of taken)
      if (startUnixMs >= night.startUnixMs && startUnixMs < night.endUnixMs && verdict?.is === "usable")
        if (verdict.fwhmArcseconds !== undefined) widths.push(verdict.fwhmArcseconds);
  return widths.length < LEAST_FRAMES ? null : middleOf(Float32Array.from(widths).sort());
}

/** Where the file lies inside its night's folder, without an ending: "evening-2-12-1-M13". */
export function frameName({ request, index, askedBy }: FrameOrder): string {
  const parts = [request.classId, `${request.number}`, `${index}`, request.target.id, askedBy ?? ""];
  return parts
    .filter((part) => part !== "")
    .map((part) =>
      part
        .normalize("NFKD")
        .replace(/\p{M}/gu, "")
        .replace(/[^A-Za-z0-9+-]/g, "_")
        .slice(0, 60),
    )
    .join("-");
}

/** What its header says of the queue. */
export function orderCards({ request, index, askedBy }: FrameOrder, { classes }: Config): Card[] {
  const { number, classId, target, frames } = request;
  return [
    { keyword: "REQUEST", value: number, comment: "number in the queue" },
    { keyword: "FRAMENO", value: index, comment: `of ${frames}` },
    { keyword: "CLASS", value: classes.find(({ id }) => id === classId)?.name ?? classId },
    { keyword: "TARGET", value: target.name, comment: "as asked for" },
    ...(askedBy ? [{ keyword: "ASKEDBY", value: askedBy }] : []),
  ];
}
