/** What the links share whose telescope people work by hand. */
import type { TelescopeTraits } from "../journal/telescope-status.js";
import type { LinkHost } from "./link.js";

export const operatedTraits: TelescopeTraits = {
  simulated: false,
  notice: null,
  clockName: null,
  takenBy: "operator",
  inventedClass: false,
};

/** How the machines are is what staff say with /equipment; until they have said anything, whoever observes has opened the dome. */
export async function takenToBeOpen({ state, report }: Pick<LinkHost, "state" | "report">): Promise<void> {
  const { requests, pointing } = state();
  if (requests.size === 0 && pointing === null) await report({ dome: "open" });
}
