/** Planned: for now as highest-first. */
import { highestFirst } from "./highest-first.js";
import type { OrderingRule } from "./ordering-rule.js";

export const planned: OrderingRule = { ...highestFirst, name: "planned" };
