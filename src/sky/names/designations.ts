/** Designations made of a catalogue and a number, however they are spaced and abbreviated. */

export interface Designation {
  /** "m", "ngc", "ic", "c", "sh2-", "b", "mel", "cr", "tr", "hip". */
  readonly catalogue: string;
  readonly number: number;
}

/** Written forms of a catalogue's name, spaces left out; longer forms first. */
const CATALOGUES: readonly (readonly [string, string])[] = [
  ["messier", "m"],
  ["m", "m"],
  ["newgeneralcatalogue", "ngc"],
  ["ngc", "ngc"],
  ["indexcatalogue", "ic"],
  ["ic", "ic"],
  ["caldwell", "c"],
  ["cald", "c"],
  ["c", "c"],
  ["sharpless2", "sh2-"],
  ["sh2", "sh2-"],
  ["barnard", "b"],
  ["b", "b"],
  ["melotte", "mel"],
  ["mel", "mel"],
  ["collinder", "cr"],
  ["cr", "cr"],
  ["trumpler", "tr"],
  ["tr", "tr"],
  ["hip", "hip"],
];

const FORMS = new Map(CATALOGUES);
const PATTERN = new RegExp(`^(${CATALOGUES.map(([form]) => form).join("|")})(?:no|nr|object)?0*(\\d{1,6})$`);

/** "messier 013", "M-13" or "m13" as { catalogue: "m", number: 13 }; null for anything else. */
export function readDesignation(words: readonly string[]): Designation | null {
  const last = (words.at(-1) ?? "").at(-1) ?? "";
  if (last < "0" || last > "9") return null;
  const match = PATTERN.exec(words.join(""));
  return match ? { catalogue: FORMS.get(match[1] as string) as string, number: Number(match[2]) } : null;
}

/** "messier" or "c" alone as the catalogue it names; null for anything else. */
export function catalogueNamed(words: readonly string[]): string | null {
  return FORMS.get(words.join("")) ?? null;
}

/** One spelling for each: "m13", "sh2-155". */
export function designationKey({ catalogue, number }: Designation): string {
  return `${catalogue}${number}`;
}
