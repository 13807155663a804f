/** A worker whose task leaves something large behind, and which says whether that is still there at the next one. */
import { tidyAfter } from "../../dist/base/worker.js";

let left = null;

export default tidyAfter(() => {
  const isStillThere = left?.deref() !== undefined;
  left = new WeakRef({ large: new Uint8Array(1_000_000) });
  return isStillThere;
});
