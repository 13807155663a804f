/** /plan in words: one student, few, many; one target, two, more. */
import { expect, it } from "vitest";
import { HOUR } from "../../../src/base/units.js";
import { fittingWords, rangeWords, splitWords, staysWords } from "../../../src/commands/plan/plan-words.js";

const fits = (low: number, high = low, open = false) => ({
  open,
  low,
  median: Math.round((low + high) / 2),
  high,
});

it.each([
  [[1], 1, 102, "One student, with time for about 100 requests."],
  [[1], 1, 1, "One student, with time for 1 request."],
  [[4, 4], 8, 17, "4 students to a target, with time for 2 requests each."],
  [[4, 3], 7, 8, "3 or 4 students to a target, each with a request of their own."],
  [[5, 5], 10, 5, "5 students to a target, in pairs: not everyone fits with a request of their own."],
  [
    [38, 37],
    75,
    30,
    "37 or 38 students to a target, in threes: not everyone fits with a request of their own.",
  ],
  [[30], 30, 5, "30 students to a target, in groups of 6: not everyone fits with a request of their own."],
])("%j targets' shares of %i students with %i requests: %s", (perTarget, students, low, words) => {
  expect(splitWords(perTarget, students, fits(low))).toBe(words);
});

it.each([
  [1, 1, "It stays above 35° all through; no other well-known target does."],
  [2, 2, "Both stay above 35° all through; no other well-known target does."],
  [3, 3, "All 3 stay above 35° all through; no other well-known target does."],
  [1, 29, "29 well-known targets stay above 35° all through; this one suits best."],
  [6, 29, "29 well-known targets stay above 35° all through; these 6 are spread best."],
])("%i of %i targets: %s", (chosen, found, words) => {
  expect(staysWords(chosen, found)).toBe(words);
});

it("a forecast that may be cut short by its own limit is said as a least number", () => {
  expect(fittingWords(fits(38, 47))).toBe("about 43 requests");
  expect(rangeWords(fits(38, 47), HOUR)).toBe("38 to 47 requests in 1 h, in 8 nights of 10");
  expect(rangeWords(fits(1), HOUR)).toBe("1 request in 1 h, in 8 nights of 10");
  expect(fittingWords(fits(580, 600, true))).toBe("at least 580 requests");
  expect(rangeWords(fits(580, 600, true), HOUR)).toBe("at least 580 requests in 1 h, in 9 nights of 10");
});
