/** A telescope that people work by hand: they say what they have taken and what became of it, and the journal holds it. */
import { Refusal } from "../../base/refusal.js";
import type { FitsSource } from "../frames/byte-reader.js";
import type { FrameStore } from "../frames/frame-store.js";
import { keepHanded } from "../frames/handed-frames.js";
import type { KeepFrame, LinkHost, TelescopeLink, Work } from "../link.js";
import { operatedTraits, takenToBeOpen } from "../operated.js";

/** The operator reads what to stop in a notice of the journal's, so that no stop waits for an answer here. */
export class ByHandLink implements TelescopeLink {
  readonly traits = operatedTraits;
  private host: LinkHost | null = null;

  constructor(readonly frames?: FrameStore<FitsSource>) {}

  async start(host: LinkHost): Promise<void> {
    this.host = host;
    await takenToBeOpen(host);
  }

  begin(): Work {
    return { stop: async () => {} };
  }

  async stopLeftOver(): Promise<void> {}

  async handOver<T>(work: (keep: KeepFrame) => Promise<T>): Promise<T> {
    const { frames, host } = this;
    if (!frames || !host)
      throw new Refusal("no-frames", "Frames cannot be kept here; mark it done without them.");
    return work((request, index, source) => keepHanded(request, index, source, frames, host));
  }

  async close(): Promise<void> {}
}
