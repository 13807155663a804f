import type { Config } from "../config/config.js";
import type { FrameRecord } from "../journal/events.js";
import type { FrameOrder } from "../telescope/practice/link.js";
export async function makeFrame(order: FrameOrder, _config: Config, _folder: string): Promise<FrameRecord> {
  return {
    index: order.index,
    startUnixMs: order.startUnixMs,
    exposureSeconds: order.request.exposureSeconds,
    filter: order.request.filter,
    imageFile: null,
    previewFile: null,
    verdict: null,
    simulated: true,
  };
}
