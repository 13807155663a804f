/** The reason that only the rule `planned` knows: somebody else's target would set meanwhile. */
import { expect, it } from "vitest";
import { planClause } from "../../src/notices/words/plan-reason.js";

it("a plan's reason names the request that would be lost", () => {
  expect(
    planClause({ by: "plan", score: 0.2, otherScore: -4.5, parts: [{ what: "setting", advantage: 5 }] }),
  ).toBe("the other would take so long that a request for a target that sets sooner would be lost");
});
