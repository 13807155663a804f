/** Links of the hook's kind for the suites that every link passes. */
import { HookLink } from "../../../src/telescope/hook/link.js";
import type { MakeFrame } from "../evening.js";
import { ControlProgram } from "./control-program.js";

/** One whose control program runs beside it, and starts afresh with it. */
export function programmedLink(makeFrame: MakeFrame): HookLink {
  return new HookLink({
    pictures: { store: { keep: (order) => makeFrame(order) }, folder: null },
    listen: async (conversation, { clock }) => {
      const program = new ControlProgram(conversation, clock);
      // It begins when the driver is ready for it, as one on another machine would.
      clock.at(clock.now(), () => void program.run().catch(() => {}));
      return async () => program.end();
    },
  });
}
