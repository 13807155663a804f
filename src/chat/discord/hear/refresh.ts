/** A button that asks the same again, under answers that age. */
import type { RawOptions } from "../../../commands/command.js";
import type { Reply } from "../../../commands/reply.js";
import type { PersonId } from "../../../queue/request.js";

/** Commands that only look, and whose answer changes with time. */
const AGEING = new Set(["when", "queue", "tonight", "telescope", "mine", "target"]);

/** The reply with the button added, where asking again makes sense. */
export function withRefresh(reply: Reply, line: string | null, askerId: PersonId): Reply {
  const name = line === null ? "" : nameIn(line);
  if (line === null || !AGEING.has(name) || reply.tone === "refused") return reply;
  const refresh = { command: line, label: "Refresh", onlyFor: askerId };
  return { ...reply, actions: [...(reply.actions ?? []), refresh] };
}

/** A command as one line to run again; null when an option would need quoting. */
export function lineOf(name: string, options: RawOptions): string | null {
  const given = Object.entries(options).filter(([, value]) => value !== undefined);
  if (given.some(([, value]) => !/^[\w.:+-]+$/.test(String(value)))) return null;
  return [`/${name}`, ...given.map(([key, value]) => `${key}=${value}`)].join(" ");
}

/** The command's name in a line such as "/when 12". */
export function nameIn(line: string): string {
  return line.replace(/^\//, "").split(" ")[0] ?? "";
}
