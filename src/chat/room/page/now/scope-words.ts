/** What the telescope does, in words: "Dome turning, 32° left", "Exposing frame 2 of 5: 12 of 20 s". */
import type { WireStatus } from "../../wire.js";
import { lengthText } from "../time/length.js";

/** @param nowUnixMs the observatory's clock */
export function doingWords(status: WireStatus, nowUnixMs: number): string {
  switch (status.activity) {
    case "idle":
      return "Idle";
    case "holding":
      return "On hold";
    case "observing":
      return observingWords(status, nowUnixMs);
    case "moving":
      return movingWords(status, nowUnixMs);
    case "exposing":
      return exposingWords(status, nowUnixMs);
    case "reading-out":
      return `Reading out${frameWords(status)}`;
    case "handing-over":
      return "Handing over the frames";
    case "stopping":
      return "Stopping";
    default:
      return "Stopped by a fault";
  }
}

function observingWords({ until }: WireStatus, nowUnixMs: number): string {
  return until === null || until <= nowUnixMs
    ? "Being observed"
    : `Being observed, ${lengthText(until - nowUnixMs)} left`;
}

function movingWords({ waitingFor, domeLeft, until, roof }: WireStatus, nowUnixMs: number): string {
  const left = until === null ? "" : `, ready in ${lengthText(until - nowUnixMs)}`;
  switch (waitingFor) {
    case "dome":
      return domeLeft === null ? `Dome turning${left}` : `Dome turning, ${Math.round(domeLeft)}° left`;
    case "mount":
      return `Slewing to the target${left}`;
    case "filter":
      return `Changing the filter${left}`;
    case "shutter":
      return `Opening the ${roof ? "roof" : "dome's shutter"}${left}`;
    case "settle":
      return "On the target, settling";
    default:
      return `Moving${left}`;
  }
}

function exposingWords(status: WireStatus, nowUnixMs: number): string {
  const { exposure, since } = status;
  if (exposure === null) return `Exposing${frameWords(status)}`;
  const done = Math.min(exposure, Math.max(0, Math.floor((nowUnixMs - since) / 1_000)));
  return `Exposing${frameWords(status)}: ${done} of ${exposure}\u00a0s`;
}

function frameWords({ frame, frames }: WireStatus): string {
  return frame === null || frames === null || frames < 2 ? "" : ` frame ${frame} of ${frames}`;
}
