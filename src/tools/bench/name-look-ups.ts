/** Names that are in no catalogue, and requests typed in one breath: the slowest of a hundred, of hostile and of ordinary texts; and keystrokes. */

import { HOUR, MINUTE } from "../../base/units.js";
import { splitWish } from "../../commands/read/split-wish.js";
import { suggestTargets } from "../../commands/read/suggest-targets.js";
import { furtherTargets } from "../../config/targets-section.js";
import { openMemoryDesk } from "../../journal/open-desk.js";
import { loadCatalogue } from "../../sky/load-catalogue.js";
import type { LookUp } from "../../sky/names/catalogue.js";
import { nightNamed } from "../../sky/night.js";
import { ManualClock } from "../manual-clock.js";
import { exampleConfig } from "./example.js";
import { atMost, type BenchRow } from "./row.js";

const ORDINARY = [
  "Ornion Nebula clear 20",
  "Whirlpol Galxy, V, 30 s, x2",
  "beetlejuice please",
  "andromedda",
  "M1333",
  "NGC 99999 R 60",
  "the big dipper galaxy clear 20 3",
];
const HOSTILE = [
  "a1 b2 c3 d4 e5 f6 g7 h8 i9 j1 k2 l3",
  "M13 ".repeat(40),
  "the ".repeat(30),
  "qwertyuiop asdfghjkl zxcvbnm poiuy",
  "nebula cluster galaxy star of the open globular",
  "north america north america north amercia",
  "α ".repeat(60),
  "0 ".repeat(60),
  "c".repeat(120),
  "supercalifragilisticexpialidociousnebula",
];
/** Each text so often, after as many that warm up. */
const ROUNDS = 60;
const LIMIT_MS = 5;
const LOAD_LIMIT_MS = 40;

export async function names(): Promise<readonly BenchRow[]> {
  const catalogue = loadCatalogue();
  const { filters } = exampleConfig().observatory.camera;
  const lookUp = (text: string): unknown => nearTo(catalogue.lookUp(text));
  const split = (text: string): unknown => splitWish({ target: text }, catalogue, filters);
  return [
    atMost("catalogue loaded, median of 15 in a warm process", medianLoad(), "ms", LOAD_LIMIT_MS),
    atMost("look-up of an unknown name, 99 of 100", slowest(lookUp), "ms", LIMIT_MS),
    atMost("a request taken apart, 99 of 100", slowest(split), "ms", LIMIT_MS),
    atMost("targets suggested, 99 of 100 keystrokes", await keystrokes(), "ms", LIMIT_MS),
  ];
}

/** Names begun by the hands of a class, some with a slip. */
const BEGUN =
  "andromeda,pleiades,jupiter,orion nebula,ngc 7000,m101,whirlpool,vega,albireo,ring nebula,saturn,crab,ic 434,caldwell 14," +
  "leo,sirius,double cluster,andromda,pleides,jupitr,hercules,m13,taurus";
/** Minutes of an evening; the first warms up. */
const MINUTES = 12;

/** Every beginning of every name once a minute: the 99th percentile, milliseconds. */
async function keystrokes(): Promise<number> {
  const config = exampleConfig();
  const clock = new ManualClock(
    nightNamed("2026-11-25", config.observatory.site.timeZone).startUnixMs + 8 * HOUR,
  );
  const desk = openMemoryDesk({ clock, derive: () => [] });
  const services = { catalogue: loadCatalogue(furtherTargets(config.targets)), config, clock, desk };
  const asker = { id: "terminal:mira", classId: "evening-2" };
  const taken: number[] = [];
  for (let minute = 0; minute <= MINUTES; minute++) {
    await clock.moveTo(clock.now() + MINUTE);
    for (const name of BEGUN.split(",")) {
      for (let length = 0; length <= name.length; length++) {
        const start = performance.now();
        suggestTargets(name.slice(0, length), asker, services);
        if (minute > 0) taken.push(performance.now() - start);
      }
    }
  }
  return taken.sort((a, b) => a - b)[Math.floor(taken.length * 0.99)] as number;
}

/** With what the example site adds, milliseconds. */
function medianLoad(): number {
  const { targets } = exampleConfig();
  const taken = Array.from({ length: 15 }, () => {
    const start = performance.now();
    loadCatalogue(furtherTargets(targets));
    return performance.now() - start;
  });
  return taken.sort((a, b) => a - b)[7] as number;
}

/** What is suggested is worked out when it is read. */
function nearTo(looked: LookUp): unknown {
  return "suggestions" in looked ? looked.suggestions : looked;
}

/** The 99th percentile over all texts, milliseconds. */
function slowest(work: (text: string) => unknown): number {
  const texts = [...ORDINARY, ...HOSTILE];
  const taken: number[] = [];
  for (let round = 0; round < 2 * ROUNDS; round++) {
    for (const text of texts) {
      const start = performance.now();
      try {
        work(text);
      } catch {
        // A refusal is an answer too.
      }
      if (round >= ROUNDS) taken.push(performance.now() - start);
    }
  }
  return taken.sort((a, b) => a - b)[Math.floor(taken.length * 0.99)] as number;
}
