/** Small pieces of English: lists, counts, numbers in letters. */

const LISTS = {
  and: new Intl.ListFormat("en-GB", { type: "conjunction" }),
  or: new Intl.ListFormat("en-GB", { type: "disjunction" }),
};

/** "A", "A and B", "A, B and C"; with another joint, "A, B or C". */
export function listed(items: readonly string[], joint: keyof typeof LISTS = "and"): string {
  return LISTS[joint].format(items);
}

/** The first letter made a capital. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** "no frames", "1 frame", "3 frames". */
export function count(number: number, one: string, many = `${one}s`): string {
  return `${number === 0 ? "no" : number} ${number === 1 ? one : many}`;
}

const SMALL = "no one two three four five six seven eight nine ten eleven twelve".split(" ");

/** "two staff requests", "14 requests": small numbers in letters, for the middle of a sentence. */
export function spelled(number: number, one: string, many = `${one}s`): string {
  return `${SMALL[number] ?? number} ${number === 1 ? one : many}`;
}

const FIRST = "first second third fourth fifth sixth seventh eighth ninth tenth".split(" ");
const RULES = new Intl.PluralRules("en-GB", { type: "ordinal" });
const ENDINGS = { one: "st", two: "nd", few: "rd", other: "th", zero: "th", many: "th" };

/** "third", "11th", "42nd"; for a whole number ≥ 1. */
export function ordinal(number: number): string {
  return FIRST[number - 1] ?? `${number}${ENDINGS[RULES.select(number)]}`;
}

/** Whole numbers in order as stretches without a gap: 3 alone, 7 to 9. */
export function stretchesOf(sorted: readonly number[]): { first: number; last: number }[] {
  const stretches: { first: number; last: number }[] = [];
  for (const number of sorted) {
    const open = stretches.at(-1);
    if (open && number === open.last + 1) open.last = number;
    else stretches.push({ first: number, last: number });
  }
  return stretches;
}
