/** Why an estimate moved, as it is read aloud after "than you were told:". */
import { describe, expect, test } from "vitest";
import { MINUTE, SECOND } from "../../src/base/units.js";
import type { MoveCause } from "../../src/forecast/move-cause.js";
import { moveClause } from "../../src/notices/words/move-causes.js";

const said = (...causes: MoveCause[]): string | null => moveClause(causes, ["staff", "class", "guests"]);
const hold = (changes: object): MoveCause => ({
  ...{ what: "held", times: 1, forMs: 12 * MINUTE, is: "over", later: true, reordered: false },
  ...changes,
});

describe("the cause of a move", () => {
  test.each<[string, MoveCause]>([
    ["two staff requests came in", { what: "made", requests: 2, tier: 0 }],
    ["one more request came in", { what: "made", requests: 1, tier: null }],
    ["one request has to be observed again", { what: "again", requests: 1 }],
    ["a cancellation was undone", { what: "back", requests: 3 }],
    ["three requests were cancelled or withdrawn", { what: "gone", requests: 3 }],
    ["the hold lasted 12 min", hold({})],
    ["the hold lasts 12 min", hold({ is: "on" })],
    ["two holds lasted 12 min together", hold({ times: 2 })],
    ["the hold went on longer", hold({ is: null })],
    ["the hold ended sooner", hold({ is: null, later: false })],
    ["the hold lasted 12 min and changed the order", hold({ reordered: true })],
    ["the telescope's fault lasted 20 min", hold({ what: "fault", forMs: 20 * MINUTE })],
    ["two faults of the telescope lasted 12 min together", hold({ what: "fault", times: 2 })],
    ["observing took 11 min longer than planned", { what: "pace", byMs: 11 * MINUTE, reordered: false }],
    [
      "observing went less than a minute faster than planned and changed the order",
      { what: "pace", byMs: -20 * SECOND, reordered: true },
    ],
    ["an observation was broken off", { what: "stopped" }],
    ["the telescope stood idle for 15 min", { what: "idle", forMs: 15 * MINUTE, reordered: false }],
    ["#7 was taken first", { what: "taken", number: 7 }],
    ["the order is first-come now", { what: "rule", rule: "first-come" }],
    [
      "the dome is slower than planned",
      { what: "overhead", component: "dome", slower: true, thought: false },
    ],
    [
      "the machines are faster than planned",
      { what: "overhead", component: null, slower: false, thought: false },
    ],
    [
      "the dome is not as slow as thought",
      { what: "overhead", component: "dome", slower: false, thought: true },
    ],
    ["fewer requests came in than expected", { what: "arrivals", fewer: true }],
    ["more requests came in than expected", { what: "arrivals", fewer: false }],
  ])("%s", (words, cause) => {
    expect(said(cause)).toBe(words);
  });

  test("two together are one clause, none is none", () => {
    expect(said({ what: "made", requests: 2, tier: 0 }, hold({}))).toBe(
      "two staff requests came in and the hold lasted 12 min",
    );
    expect(said()).toBeNull();
  });
});
