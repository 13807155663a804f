/** /alerts: how a person wants to be told, and when not aloud. */
import { button } from "../../base/button.js";
import { say } from "../../base/phrase.js";
import { Refusal } from "../../base/refusal.js";
import type { AlertChoice } from "../../journal/events.js";
import { usualChoice } from "../../notices/quiet-hours.js";
import type { Venue } from "../../notices/venues.js";
import { defineCommand } from "../define.js";
import { example } from "../words/example.js";

const HOW = ["mention", "direct", "silent", "morning"] as const;
type How = (typeof HOW)[number];

/** What a choice is called on its button, and what it means: a room and a terminal have no channel and no messages. */
interface Manner {
  readonly label: string;
  readonly words: string;
}
const IN_CHANNELS: Record<How, Manner> = {
  mention: { label: "Mention", words: "You are mentioned in the class channel" },
  direct: { label: "Direct message", words: "You get direct messages" },
  silent: { label: "Without sound", words: "You are told without a sound" },
  morning: { label: "Morning summary", words: "You get one summary in the morning" },
};
const HERE: Record<How, Manner> = {
  mention: { label: "In the log", words: "You are told here in the log; classmates see its heading" },
  direct: { label: "In the log, for me alone", words: "You are told here in the log, and nobody else" },
  silent: { label: "Without sound", words: "You are told here in the log, and nothing is read aloud" },
  morning: { label: "Morning summary", words: "You get one summary in the morning" },
};

function mannersOn({ hasChannels }: Venue): Record<How, Manner> {
  return hasChannels ? IN_CHANNELS : HERE;
}

export const alerts = defineCommand({
  name: "alerts",
  who: "student",
  help: "How you are told: for all to see, for you alone, without sound, in the morning; and quiet hours.",
  options: [
    {
      name: "how",
      kind: "choice",
      choices: HOW,
      help: "How to tell you",
      labels: (venue) => Object.fromEntries(HOW.map((how) => [how, mannersOn(venue)[how].label])),
    },
    { name: "quiet", kind: "text", help: "Quiet hours such as 23:00-07:30, or off", maxLength: 20 },
  ],
  examples: ["/alerts", "/alerts direct", "/alerts mention 23:00-07:30", "/alerts quiet=off"],
  answer: async ({ call, values, services, act }) => {
    const { desk, config } = services;
    const manners = mannersOn(services.venues.of(call.from.surface));
    const present = desk.state.alerts.get(call.asker.id) ?? usualChoice(config);
    const quiet = values.quiet === undefined ? {} : readQuiet(values.quiet);
    const choice: AlertChoice = { ...present, ...(values.how ? { how: values.how } : {}), ...quiet };
    const changes = values.how !== undefined || values.quiet !== undefined;
    if (changes) {
      await act(() => [{ type: "person.alerts", personId: call.asker.id, choice }]);
    }
    return {
      tone: changes ? "done" : "answer",
      title: manners[choice.how].words,
      lines: [
        [quietWords(choice)],
        say`Quiet hours are changed with, for example, ${example("/alerts quiet=23:00-07:30", { quiet: "23:00-07:30" })}.`,
      ],
      actions: HOW.filter((each) => each !== choice.how).map((each) =>
        button(manners[each].label, "alerts", { how: each }, call.asker.id),
      ),
    };
  },
});

/** "23:00-07:30", "23-7" or "off". */
function readQuiet(text: string): Pick<AlertChoice, "quietFrom" | "quietUntil"> {
  if (/^(off|none|never|no)$/i.test(text)) return { quietFrom: null, quietUntil: null };
  const match = /^(\d{1,2})(?::(\d{2}))?\s*(?:-|–|to|until)\s*(\d{1,2})(?::(\d{2}))?$/i.exec(text);
  const from = match ? clock(match[1] as string, match[2]) : null;
  const until = match ? clock(match[3] as string, match[4]) : null;
  if (from === null || until === null || from === until) {
    throw new Refusal(
      "bad-quiet-hours",
      `"${text}" cannot be read as quiet hours: give two times such as 23:00-07:30, or off.`,
    );
  }
  return { quietFrom: from, quietUntil: until };
}

function clock(hour: string, minute = "00"): string | null {
  if (Number(hour) > 23 || Number(minute) > 59) return null;
  return `${hour.padStart(2, "0")}:${minute}`;
}

function quietWords({ quietFrom, quietUntil }: AlertChoice): string {
  if (quietFrom === null || quietUntil === null) return "There are no quiet hours.";
  return `From ${quietFrom} to ${quietUntil} at the observatory nothing makes a sound.`;
}
