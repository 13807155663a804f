/** /hold: stops the next request from being taken, at once. It is software, not an interlock, and says so. */
import { type Phrase, say, strong } from "../../base/phrase.js";
import type { UtcMillis } from "../../base/units.js";
import { NO_INTERLOCK } from "../../notices/words/everyone.js";
import { timeFrom } from "../../notices/words/times.js";
import type { RawOptions } from "../command.js";
import { defineCommand } from "../define.js";
import { label } from "../read/read-request.js";
import type { Services } from "../services.js";

export const hold = defineCommand({
  name: "hold",
  who: "operator",
  help: "Stops new requests from being taken, at once. It is no interlock.",
  otherwise: "If someone is in danger, tell the staff in the room at once.",
  options: [
    { name: "reason", kind: "text", required: true, help: "Why; the classes are told", maxLength: 200 },
    { name: "until", kind: "time", required: false, help: "Ends by itself then, such as 22:30 or 20 min" },
  ],
  examples: ["/hold cloud", "/hold people in the dome", "/hold cloud until 22:30"],
  prepare: splitUntil,
  answer: async ({ call, values, services }) => {
    const before = services.desk.state.hold;
    const { entry, repeated } = await services.desk.act(
      (_, now) => [
        {
          type: "hold.placed",
          hold: {
            reason: values.reason,
            by: call.asker.id,
            sinceUnixMs: now,
            untilUnixMs: values.until ?? null,
          },
        },
      ],
      { by: call.asker.id, onceKey: call.onceKey },
    );
    const now = entry?.atUnixMs ?? services.clock.now();
    return {
      tone: "warning",
      title: before && !repeated ? "Still on hold" : "On hold",
      lines: [
        say`${strong("No new request is taken from now on")}, ${untilWords(values.until, now)}. ${underWay(services, now)}`,
        [NO_INTERLOCK],
        ...(before && !repeated ? [[`It takes the place of the earlier hold (${before.reason}).`]] : []),
      ],
      actions: [{ command: "resume", options: {}, label: "Resume", onlyFor: null }],
    };
  },
});

/** "cloud until 22:30" in one text: what stands after the last "until" is the end, and has to be a time. */
function splitUntil(raw: RawOptions): RawOptions {
  const match = /^(.*\S)\s+until\s+(\S.*)$/i.exec(String(raw.reason ?? "").trim());
  if (!match || raw.until !== undefined || /^further notice$/i.test(match[2] as string)) return raw;
  return { ...raw, reason: match[1], until: match[2] };
}

function untilWords(until: UtcMillis | undefined, now: UtcMillis): Phrase {
  return until === undefined
    ? say`until someone types /resume`
    : say`until ${timeFrom(until, now)}, or /resume before`;
}

function underWay({ desk }: Services, now: UtcMillis): Phrase {
  const { taken, requests } = desk.state;
  const request = taken ? requests.get(taken.number) : undefined;
  if (!taken || !request) return say`Nothing is under way.`;
  return say`${label(request)} is under way and runs to its end, about ${timeFrom(Math.max(now, taken.freeUnixMs), now)}.`;
}
