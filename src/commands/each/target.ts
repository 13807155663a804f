/** /target: one target's night: window, height, airmass, the Moon, a suggested exposure, a chart. */

import { button } from "../../base/button.js";
import { count } from "../../base/english.js";
import { clockTime, dayOf, type Phrase, say, strong } from "../../base/phrase.js";
import type { UtcMillis } from "../../base/units.js";
import { airmassWords, degrees, seconds } from "../../notices/words/amounts.js";
import { timeFrom } from "../../notices/words/times.js";
import { bestIn, highestIn } from "../../observatory/highest.js";
import type { Observatory, Window } from "../../observatory/observatory.js";
import { whyNot } from "../../observatory/window.js";
import { airmassAtTrue } from "../../sky/airmass.js";
import { magnitudeAt } from "../../sky/magnitude.js";
import { moonPhase } from "../../sky/moon.js";
import { type Night, nightNamed } from "../../sky/night.js";
import type { FixedTarget, Target } from "../../sky/target.js";
import { horizontalOf, trackOf } from "../../sky/track.js";
import type { RawOptions } from "../command.js";
import { defineCommand } from "../define.js";
import { drawn } from "../pictured.js";
import { askedBeside } from "../plan/asked-beside.js";
import { frameNotes, signalWords, suggested } from "../plan/frame-view.js";
import { nightAt, windowsFrom } from "../plan/sky-view.js";
import { usualFilter } from "../read/read-sky.js";
import { readWish } from "../read/read-wish.js";
import { splittable } from "../read/split-wish.js";
import type { Field } from "../reply.js";
import type { Services } from "../services.js";
import { factFields, moonsField } from "../words/facts-words.js";
import { heightWords, isBelowHorizon } from "../words/height-words.js";
import { moonDistance, moonWarning } from "../words/moon-words.js";
import { neverWords, nightClause } from "../words/obstacle-words.js";
import { oldElementsWords } from "../words/orbit-words.js";
import { fullName, kindWords, shortName } from "../words/target-words.js";
import { request } from "./request.js";

export const target = defineCommand({
  name: "target",
  who: "student",
  help: "One target's night: when it is up, its height and airmass, the Moon, a suggested exposure.",
  options: [
    { name: "name", kind: "target", required: true, help: "M13, Ring Nebula, Vega, Jupiter or coordinates" },
    { name: "date", kind: "date", help: "Which night; tonight when left out" },
  ],
  examples: ["/target M57", "/target Orion Nebula date=2026-12-24"],
  asks: true,
  ages: true,
  slow: true,
  prepare: splitNight,
  answer: async ({ call, values, services, now }) => {
    const { observatory } = services.config;
    const tonight = nightAt(now, observatory);
    const night = values.date === undefined ? tonight : nightNamed(values.date, observatory.site.timeZone);
    const from = night.date === tonight.date ? now : night.startUnixMs;
    const wanted = values.name;
    const named = wanted.type === "position" ? wanted.id : shortName(wanted);
    const old = oldElementsWords(wanted, from, observatory);
    const windows = old === null ? windowsFrom(wanted, night, observatory, from) : [];
    const at = bestIn(wanted, night, observatory, windows)?.unixMs ?? from;
    const beside = askedBeside(call.options.name, wanted, request, at, call, services);
    return {
      tone: windows.length > 0 ? "answer" : "warning",
      title: titleFor(wanted),
      lines: [
        ...(wanted.kind === "fixed" && wanted.note !== undefined ? [[wanted.note]] : []),
        old === null ? windowPhrase(wanted, windows, night, from, services) : [`${old}.`],
        ...(night.date === tonight.date ? [nowPhrase(wanted, night, now, observatory)] : []),
        ...beside.lines,
      ],
      fields: fieldsFor(wanted, windows, night, from, services),
      ...(await drawn(services, () =>
        services.pictures.target({ observatory, night, nowUnixMs: now, target: wanted, windows }),
      )),
      actions:
        windows.length > 0 && night.date === tonight.date
          ? [
              button(
                `Ask for ${shortName(wanted)}`,
                "request",
                { target: named, ...beside.options },
                call.asker.id,
              ),
            ]
          : [],
    };
  },
});

/** "M57 2026-12-24", "ring nebula tomorrow please" typed in one breath. */
function splitNight(raw: RawOptions, { catalogue, config }: Services): RawOptions {
  const text = splittable(raw.name);
  if (text === null) return raw;
  const { target: name, wider, options } = readWish(text, catalogue, config.observatory.camera.filters);
  return { ...raw, name: wider ?? (name || text), date: raw.date ?? options.date };
}

function titleFor(wanted: Target): string {
  const kind = kindWords(wanted);
  return kind === null ? fullName(wanted) : `${fullName(wanted)}, ${kind}`;
}

function windowPhrase(
  wanted: Target,
  windows: readonly Window[],
  night: Night,
  from: UtcMillis,
  { config }: Services,
): Phrase {
  if (windows.length > 0) {
    const spans = windows.map((each) =>
      each.openUnixMs <= from
        ? say`now until ${clockTime(each.closeUnixMs)}`
        : say`${clockTime(each.openUnixMs)} to ${clockTime(each.closeUnixMs)}`,
    );
    const joined = spans.flatMap((span, index): Phrase => (index === 0 ? span : [" and ", ...span]));
    return say`${strong("It can be observed")} ${joined}, night of ${night.date}.`;
  }
  const { observatory } = config;
  const obstacle = whyNot(wanted, from, observatory);
  if (obstacle === null) return say`${strong("Not on this night")}.`;
  if (obstacle.never || obstacle.opensUnixMs === null) {
    const { answer, reason } = neverWords(wanted, obstacle, from, observatory);
    return say`${strong(answer)}${reason}.`;
  }
  const opens = say`It is possible from ${dayOf(obstacle.opensUnixMs)}.`;
  const clause = nightClause(wanted, night, from, observatory);
  if (clause !== null) return say`${strong("Not on this night")}: ${clause}. ${opens}`;
  return say`${strong("Not any more on this night")}: its window is over. ${opens}`;
}

function nowPhrase(wanted: Target, night: Night, now: UtcMillis, { site, limits }: Observatory): Phrase {
  const height = horizontalOf(trackOf(wanted, night, site), now).altitudeDegrees;
  return isBelowHorizon(height)
    ? [`It is ${heightWords(height)} now.`]
    : [`It stands at ${heightWords(height, limits.altitudeDegrees)} now.`];
}

function fieldsFor(
  wanted: Target,
  windows: readonly Window[],
  night: Night,
  from: UtcMillis,
  services: Services,
): Field[] {
  const { config } = services;
  const { observatory } = config;
  const best = bestIn(wanted, night, observatory, windows);
  const highest = highestIn(trackOf(wanted, night, observatory.site), night.startUnixMs, night.endUnixMs);
  const at = best?.unixMs ?? highest.unixMs;
  const limit = observatory.limits.altitudeDegrees;
  return [
    ...(best
      ? [
          {
            name: "Best",
            value: say`${timeFrom(best.unixMs, from)} at ${heightWords(best.altitudeDegrees, limit)}, airmass ${airmassWords(airmassAtTrue(best.altitudeDegrees))}`,
          },
        ]
      : []),
    {
      name: "Highest",
      value: say`${timeFrom(highest.unixMs, from)}${isBelowHorizon(highest.altitudeDegrees) ? "," : " at"} ${heightWords(highest.altitudeDegrees, limit)}`,
    },
    ...moonField(wanted, at, observatory),
    ...(best ? exposureField(wanted, at, services) : []),
    ...brightnessField(wanted, at),
    ...factFields(wanted, from, observatory.camera),
    ...moonsField(wanted, from),
  ];
}

function moonField(wanted: Target, at: UtcMillis, observatory: Observatory): Field[] {
  const distance = moonDistance(wanted, at, observatory);
  const { name, illuminatedFraction } = moonPhase(at);
  const lit = `${Math.round(illuminatedFraction * 100)} % lit`;
  if (distance === null) return [{ name: "Phase", value: [`${name}, ${lit}`] }];
  const warning = moonWarning(wanted, at, observatory);
  return [
    {
      name: "Moon",
      value: [`${degrees(distance)} away, ${lit}${warning ? "; near enough to brighten the sky" : ""}`],
    },
  ];
}

function exposureField(wanted: Target, at: UtcMillis, { config }: Services): Field[] {
  const filter = usualFilter(config.observatory.camera.filters);
  const found = suggested(wanted, filter, at, config);
  if (!found) return [];
  const better = found.betterFilter ? `; filter ${found.betterFilter} would suit it better` : "";
  const words = signalWords(found);
  const noise = words === null ? "" : `: ${words}`;
  const { exposureSeconds, frames } = found;
  const notes = frameNotes({ target: wanted, filter, exposureSeconds, frames }, at, config);
  const bright = found.saturates ? "; even that overexposes it" : "";
  return [
    {
      name: "Exposure",
      value: [
        `${count(found.frames, "frame")} of ${seconds(found.exposureSeconds)}, filter ${filter}${noise}${bright}${better}${notes.map((note) => `. ${note.replace(/\.$/, "")}`).join("")}`,
      ],
    },
  ];
}

function brightnessField(wanted: Target, at: UtcMillis): Field[] {
  const magnitude = magnitudeAt(wanted, at);
  if (magnitude === null || wanted.type === "moon") return [];
  const size = wanted.kind === "fixed" && wanted.sizeArcminutes !== null ? `, ${sizeWords(wanted)}` : "";
  const foretold =
    wanted.type === "comet" ? ", as foretold; comets often keep to it only within a magnitude" : "";
  return [{ name: "Brightness", value: [`magnitude ${magnitude.toFixed(1)}${size}${foretold}`] }];
}

/** "8.7′ × 3.5′"; of a nebula with a halo "1.4′ × 1′, its faint halo 3.8′ × 2.4′". */
function sizeWords({
  sizeArcminutes: long,
  shorterArcminutes: short,
  brightArcminutes: bright,
}: FixedTarget): string {
  const whole = short === undefined ? `${long}′ across` : `${long}′ × ${short}′`;
  return bright === undefined ? whole : `${bright[0]}′ × ${bright[1]}′, with its faint outer parts ${whole}`;
}
