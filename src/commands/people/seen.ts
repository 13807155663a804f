/** What one class may see of a request: its own in full, those of others only as being there. */

import { listed } from "../../base/english.js";
import type { Request } from "../../queue/request.js";
import { label } from "../read/read-request.js";

/** "#9 M15", or "a request from another class". */
export function seenLabel(request: Request | undefined, viewerClassId: string): string {
  return request?.classId === viewerClassId ? label(request) : "a request from another class";
}

/** "#9 M15, #7 M57 and 3 more", own class by number, others as a count. */
export function seenList(requests: readonly Request[], viewerClassId: string, longest = 4): string {
  const own = requests.filter((each) => each.classId === viewerClassId);
  const others = requests.length - own.length;
  const shown = own.slice(0, longest).map(label);
  const left = own.length - shown.length;
  return listed([
    ...shown,
    ...(left > 0 ? [`${left} more of your class`] : []),
    ...(others > 0 ? [`${others} from ${others === 1 ? "another class" : "other classes"}`] : []),
  ]);
}
