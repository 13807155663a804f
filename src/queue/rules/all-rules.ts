/** All ordering rules by name. */
import type { RuleName } from "../request.js";
import { firstCome } from "./first-come.js";
import { highestFirst } from "./highest-first.js";
import { oneEach } from "./one-each.js";
import type { OrderingRule } from "./ordering-rule.js";
import { planned } from "./planned.js";
import { settingFirst } from "./setting-first.js";

export const orderingRules: Readonly<Record<RuleName, OrderingRule>> = {
  "highest-first": highestFirst,
  "first-come": firstCome,
  "setting-first": settingFirst,
  "one-each": oneEach,
  planned,
};
