/** Whether the disk has room for the frames of the request that comes next: too little holds the queue. */
import type { Log } from "../base/log.js";
import { type Millis, SECOND } from "../base/units.js";
import type { NightslateEvent } from "../journal/events.js";
import type { State } from "../journal/state.js";
import type { Observatory } from "../observatory/observatory.js";
import type { Request } from "../queue/request.js";
import type { TelescopeLink } from "./link.js";

/** How often it is looked at again while there is too little. */
export const LOOK_AGAIN: Millis = 30 * SECOND;
/** A pixel of a camera with 16 bits. */
const BYTES_PER_PIXEL = 2;
/** Headers and the preview of one frame, generously. */
const BESIDE_PIXELS = 1_000_000;
/** Left for the journal and whatever else writes there. */
const SPARE_BYTES = 50_000_000;

export class DiskRoom {
  /** As last measured. */
  private freeBytes = Number.POSITIVE_INFINITY;

  constructor(
    private readonly frames: TelescopeLink["frames"],
    private readonly camera: Observatory["camera"],
    private readonly log: Log,
  ) {}

  /** A disk that does not say is taken to have room: a frame that cannot be kept fails its request as ever. */
  async measure(): Promise<void> {
    if (!this.frames) return;
    try {
      this.freeBytes = await this.frames.freeBytes();
    } catch (error) {
      this.freeBytes = Number.POSITIVE_INFINITY;
      this.log.warn({ reason: (error as Error).message }, "the room on the disk could not be measured");
    }
  }

  /** That the room for a request has run out; nothing when there is enough. */
  shortFor({ frames }: Request): NightslateEvent[] {
    const { camera, freeBytes } = this;
    const perFrame = camera.widthPixels * camera.heightPixels * BYTES_PER_PIXEL + BESIDE_PIXELS;
    const neededBytes = frames * perFrame + SPARE_BYTES;
    return freeBytes >= neededBytes ? [] : [{ type: "disk.short", neededBytes, freeBytes }];
  }

  /** That there is room again; nothing when there still is not, or always was. */
  againFor({ diskShort }: State): NightslateEvent[] {
    return diskShort && this.freeBytes >= diskShort.neededBytes ? [{ type: "disk.mended" }] : [];
  }
}
