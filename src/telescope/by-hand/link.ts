/** A telescope that people work by hand: they say what they have taken and what became of it, and the journal holds it. */
import type { TelescopeTraits } from "../../journal/telescope-status.js";
import type { TelescopeLink, Work } from "../link.js";

export const byHandTraits: TelescopeTraits = {
  simulated: false,
  notice: null,
  clockName: null,
  takenBy: "operator",
  inventedClass: false,
};

/** The operator reads what to stop in a notice of the journal's, so that no stop waits for an answer here. */
export class ByHandLink implements TelescopeLink {
  readonly traits = byHandTraits;

  constructor(readonly frames?: TelescopeLink["frames"]) {}

  /** Staff say with /equipment how the machines are. */
  async start(): Promise<void> {}

  begin(): Work {
    return { stop: async () => {} };
  }

  async stopLeftOver(): Promise<void> {}

  async close(): Promise<void> {}
}
