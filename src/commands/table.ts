/** Every command, once: surfaces, help, suggestions and the guide are made from this table. */
import type { CommandSpec } from "./command.js";
import { alerts } from "./each/alerts.js";
import { announce } from "./each/announce.js";
import { cancel } from "./each/cancel.js";
import { compare } from "./each/compare.js";
import { equipment } from "./each/equipment.js";
import { forget } from "./each/forget.js";
import { helpCommand } from "./each/help.js";
import { hold } from "./each/hold.js";
import { join } from "./each/join.js";
import { mark } from "./each/mark.js";
import { mine } from "./each/mine.js";
import { plan } from "./each/plan.js";
import { queue } from "./each/queue.js";
import { request } from "./each/request.js";
import { results } from "./each/results.js";
import { resume } from "./each/resume.js";
import { giveBack } from "./each/return.js";
import { rule } from "./each/rule.js";
import { session } from "./each/session.js";
import { target } from "./each/target.js";
import { telescope } from "./each/telescope.js";
import { tonight } from "./each/tonight.js";
import { undo } from "./each/undo.js";
import { wait } from "./each/wait.js";
import { when } from "./each/when.js";
import { why } from "./each/why.js";
import { withdraw } from "./each/withdraw.js";

/** In the order in which people meet them: asking, looking, one's own choices; then operators; then instructors. */
export const commandTable: readonly CommandSpec[] = [
  request,
  when,
  why,
  queue,
  join,
  withdraw,
  wait,
  tonight,
  target,
  mine,
  telescope,
  alerts,
  forget,
  helpCommand(() => commandTable),
  equipment,
  mark,
  hold,
  resume,
  plan,
  session,
  cancel,
  undo,
  giveBack,
  rule,
  compare,
  announce,
  results,
];
