/** /telescope: what it is doing now, and how its times compare with the configuration. */

import { capital } from "../../base/english.js";
import type { Phrase } from "../../base/phrase.js";
import { priorBeliefs } from "../../forecast/learn/beliefs.js";
import { learnOverheads } from "../../forecast/learn/learn-overheads.js";
import { degrees } from "../../notices/words/amounts.js";
import type { Call } from "../command.js";
import { defineCommand } from "../define.js";
import { seenLabel } from "../people/seen.js";
import type { Services } from "../services.js";
import { overheadSentences } from "../words/overhead-words.js";
import { activityEnd, activityWords, equipmentWords, holdPhrase } from "../words/telescope-words.js";

export const telescope = defineCommand({
  name: "telescope",
  who: "student",
  help: "What the telescope is doing now, its state, and whether it runs slower than configured.",
  options: [],
  examples: ["/telescope"],
  asks: true,
  ages: true,
  answer: async ({ call, services, now }) => {
    const status = services.telescope();
    const hold = holdPhrase(services);
    return {
      tone: hold || status.activity === "fault" ? "warning" : "answer",
      title: `The telescope is ${activityWords(status)}`,
      lines: [
        ...(hold ? [hold] : []),
        ...activityEnd(status, now),
        ...(status.requestNumber === null ? [] : [forWhom(status.requestNumber, call, services)]),
        ...pointing(services),
        [`${capital(equipmentWords(services.desk.state.equipment, services.telescope().waitingFor))}.`],
        ...timesAgainstConfiguration(services),
        ...(status.traits.notice === null ? [] : [[status.traits.notice]]),
      ],
    };
  },
});

function forWhom(number: number, { asker }: Call, { desk }: Services): Phrase {
  return [`It is working on ${seenLabel(desk.state.requests.get(number), asker.classId)}.`];
}

function timesAgainstConfiguration({ desk, config }: Services): Phrase[] {
  const { overheadSamples } = desk.state;
  const prior = priorBeliefs(config.forecast, config.observatory).overheads;
  const { components } = learnOverheads(overheadSamples, prior);
  return overheadSentences(overheadSamples, components).map((each) => [each]);
}

function pointing({ telescope }: Services): Phrase[] {
  const { altitudeDegrees, azimuthDegrees, domeAzimuthDegrees } = telescope();
  if (altitudeDegrees === null || azimuthDegrees === null) return [];
  const dome =
    domeAzimuthDegrees === null ? "" : `, the dome's slit to azimuth ${degrees(domeAzimuthDegrees)}`;
  return [[`It points to altitude ${degrees(altitudeDegrees)}, azimuth ${degrees(azimuthDegrees)}${dome}.`]];
}
