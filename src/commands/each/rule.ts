/** /rule: shows or sets the rule that orders requests within a tier. */

import { button } from "../../base/button.js";
import { capital, listed } from "../../base/english.js";
import { type Phrase, say } from "../../base/phrase.js";
import type { NightRun } from "../../forecast/night-run.js";
import { RULE_NAMES, type RuleName } from "../../queue/request.js";
import type { Call } from "../command.js";
import { defineCommand } from "../define.js";
import { seenLabel } from "../people/seen.js";
import type { Reply } from "../reply.js";
import type { Services } from "../services.js";
import { ruleSentence, worthwhileSentence } from "../words/reasons.js";

export const rule = defineCommand({
  name: "rule",
  who: "instructor",
  help: "Shows the ordering rule, or sets another and says what changes.",
  otherwise: "/why and a request's number tells which rule placed it.",
  options: [{ name: "name", kind: "choice", choices: RULE_NAMES, help: "The rule from now on" }],
  examples: ["/rule", "/rule one-each"],
  answer: async ({ call, values, services, act }) => {
    const { desk, forecast } = services;
    const present = desk.state.rule ?? services.config.queue.rule;
    const wanted = values.name;
    if (wanted === undefined || wanted === present) return shown(present, wanted !== undefined, services);
    const before = forecast.central();
    await act(() => [{ type: "rule.chosen", rule: wanted, by: call.asker.id }]);
    return {
      tone: "done",
      title: `The rule is ${wanted} now`,
      lines: [[ruleSentence(wanted)], changed(before, forecast.central(), call, services)],
      actions: [button(`Back to ${present}`, "rule", { name: present }, call.asker.id)],
    };
  },
});

function shown(present: RuleName, asked: boolean, { config }: Services): Reply {
  const others = RULE_NAMES.filter((each) => each !== present);
  return {
    tone: "answer",
    title: `The rule is ${present}${asked ? " already" : ""}`,
    lines: [
      [`${ruleSentence(present)}${worthwhileSentence(config)}`],
      [`To change it, type /rule and one of ${listed(others, "or")}.`],
    ],
  };
}

/** What the change does to tonight, one sentence, from the runs themselves. */
function changed(before: NightRun, after: NightRun, { asker }: Call, { desk }: Services): Phrase {
  const place = new Map(before.turns.map((turn, index) => [turn.number, index]));
  const moved = after.turns.filter((turn, index) => place.get(turn.number) !== index).length;
  const first = after.turns[0];
  const done = after.turns.length - before.turns.length;
  if (moved === 0 && done === 0)
    return ["Tonight's run order stays as it was; the owners need not do anything."];
  const fits =
    done === 0
      ? "as many fit before dawn as under the other rule"
      : `${Math.abs(done)} ${done > 0 ? "more fit" : "fewer fit"} before dawn`;
  const name = first ? capital(seenLabel(desk.state.requests.get(first.number), asker.classId)) : "";
  const next = first && before.turns[0]?.number !== first.number ? `${name} comes first now; ` : "";
  return say`${next}${moved} of ${after.turns.length} ${moved === 1 ? "changes its" : "change their"} place tonight; ${fits}.`;
}
