/** /tonight: when it is dark, the Moon, the conditions, and what is worth asking for now. */
import { type Button, button } from "../../base/button.js";
import { capital, count } from "../../base/english.js";
import { clockTime, type Phrase, say } from "../../base/phrase.js";
import type { UtcMillis } from "../../base/units.js";
import { degrees } from "../../notices/words/amounts.js";
import { timeFrom } from "../../notices/words/times.js";
import type { Observatory } from "../../observatory/observatory.js";
import { moonPhase } from "../../sky/moon.js";
import type { Night } from "../../sky/night.js";
import { riseTransitSet } from "../../sky/rise-set.js";
import { defineCommand } from "../define.js";
import { drawn } from "../pictured.js";
import { nightAt } from "../plan/sky-view.js";
import { askableFrom, type Prospect, worthAsking } from "../plan/up-now.js";
import type { Present } from "../services.js";
import { brightNight, darkPhrase } from "../words/dark-words.js";
import { describedWords, shortName } from "../words/target-words.js";
import { activityPhrase, conditionWarnings, equipmentWords, holdPhrase } from "../words/telescope-words.js";

const MOST_LISTED = 6;
const MOST_BUTTONS = 3;

export const tonight = defineCommand({
  name: "tonight",
  who: "student",
  help: "When it is dark, the Moon, the conditions, and a short list worth asking for now.",
  options: [],
  examples: ["/tonight"],
  asks: true,
  ages: true,
  slow: true,
  answer: async ({ call, services, now }) => {
    const { observatory } = services.config;
    const night = nightAt(now, observatory);
    const hold = holdPhrase(services);
    const warnings = conditionWarnings(
      services.desk.state.equipment,
      askableFrom(now, observatory) === now,
      services.telescope().traits,
    );
    const list = worthAsking(services.catalogue, now, observatory, MOST_LISTED);
    return {
      tone: hold || warnings.length > 0 ? "warning" : "answer",
      title: `Tonight, ${night.date}`,
      lines: [
        darkPhrase(night, now, observatory),
        moonPhrase(night, now, observatory),
        ...(hold ? [hold] : []),
        say`${activityPhrase(services.telescope(), now)} ${capital(equipmentWords(services.desk.state.equipment, services.telescope().waitingFor))}.`,
        ...warnings.map((each) => [each]),
        queuePhrase(services, night),
        ...(brightNight(night, observatory) ? [] : listHead(list, now, observatory)),
      ],
      ...(list.length === 0 ? {} : { table: tableOf(list) }),
      ...(await chart(list, night, services)),
      actions: list
        .slice(0, MOST_BUTTONS)
        .map(
          ({ target }): Button =>
            button(`Ask for ${shortName(target)}`, "request", { target: shortName(target) }, call.asker.id),
        ),
    };
  },
});

function moonPhrase(night: Night, now: UtcMillis, { site }: Observatory): Phrase {
  const { name, illuminatedFraction } = moonPhase(now);
  const lit = `${Math.round(illuminatedFraction * 100)} % lit`;
  const { riseUnixMs, setUnixMs } = riseTransitSet("Moon", night, site);
  const [first, second] = [
    { does: "rises", unixMs: riseUnixMs },
    { does: "sets", unixMs: setUnixMs },
  ]
    .flatMap(({ does, unixMs }) => (unixMs !== null && unixMs > now ? [{ does, unixMs }] : []))
    .sort((a, b) => a.unixMs - b.unixMs)
    .map(({ does, unixMs }) => say`${does} at ${timeFrom(unixMs, now)}`);
  if (!first) return say`Moon: ${name}, ${lit}.`;
  return second ? say`Moon: ${name}, ${lit}; ${first}, ${second}.` : say`Moon: ${name}, ${lit}; ${first}.`;
}

function queuePhrase({ desk, forecast, config, now }: Present, night: Night): Phrase {
  const waiting = desk.state.waiting.size;
  if (waiting === 0 && brightNight(night, config.observatory)) return ["Nothing is waiting."];
  if (waiting === 0) return ["Nothing is waiting: ask now and you are first in line."];
  const last = forecast.central().turns.at(-1);
  const done = last
    ? say`; the last of them that fits tonight is done about ${timeFrom(last.freeUnixMs, now)}`
    : [];
  return say`${capital(count(waiting, "request"))} ${waiting === 1 ? "waits" : "wait"}${done}.`;
}

function listHead(list: readonly Prospect[], now: UtcMillis, observatory: Observatory): Phrase[] {
  if (list.length === 0)
    return [["Nothing on the short list stands well just now; /target and a name tells of any other."]];
  const from = askableFrom(now, observatory) ?? now;
  return [
    from > now ? say`Worth asking for, as it stands at ${clockTime(from)}:` : say`Worth asking for now:`,
  ];
}

function tableOf(list: readonly Prospect[]) {
  const row = ({ target, altitudeDegrees, best }: Prospect): Phrase[] => [
    [shortName(target)],
    [describedWords(target)],
    [degrees(altitudeDegrees)],
    best ? [clockTime(best.unixMs)] : ["–"],
  ];
  return { columns: ["name", "what it is", "height", "best"], rows: list.map(row), ownRows: [] };
}

async function chart(list: readonly Prospect[], night: Night, present: Present) {
  if (list.length === 0) return {};
  const { config, pictures, now } = present;
  const { observatory } = config;
  const targets = list.map((each) => each.target);
  return drawn(present, () => pictures.tonight({ observatory, night, nowUnixMs: now, targets }));
}
