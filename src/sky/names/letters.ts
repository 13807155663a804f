/** Bayer letters, Flamsteed numbers and variable-star letters with the names of their constellations. */
import { CONSTELLATIONS } from "../load-constellations.js";
import { plainWords } from "./plain.js";

export interface Constellation {
  /** The IAU's three letters: "Lyr". */
  readonly abbreviation: string;
  readonly genitive: string;
}

/** Greek letter, its English name, and the three-letter form that some lists use. */
const GREEK: readonly (readonly [string, string, string])[] = (
  "α alpha alf,β beta bet,γ gamma gam,δ delta del,ε epsilon eps,ζ zeta zet,η eta eta,θ theta tet,ι iota iot,κ kappa kap," +
  "λ lambda lam,μ mu mu,ν nu nu,ξ xi ksi,ο omicron omi,π pi pi,ρ rho rho,σ sigma sig,τ tau tau,υ upsilon ups,φ phi phi," +
  "χ chi chi,ψ psi psi,ω omega ome"
)
  .split(",")
  .map((row) => row.split(" ") as [string, string, string]);

export const LETTERS = new Map<string, string>(
  GREEK.flatMap(([letter, name, short]) => [letter, name, short].map((form) => [form, name])),
);

/** By abbreviation, name and genitive, each as plain words run together. */
export const BY_NAME = new Map<string, Constellation>(
  CONSTELLATIONS.flatMap(([abbreviation, name, genitive]) =>
    [abbreviation, name, genitive].map((form) => [plainWords(form).join(""), { abbreviation, genitive }]),
  ),
);

/** What a star's designation can end with: spares taking other names apart. */
const LAST_WORDS = new Set(CONSTELLATIONS.flat().map((form) => plainWords(form).at(-1)));

/** Keys under which a star's designation is found, the exact one first: "beta1|Cyg", "beta|Cyg"; none for other words. */
export function starKeys(words: readonly string[]): readonly string[] {
  const split = splitStar(words);
  if (!split) return [];
  const match = /^(\D+?)(\d?)$/.exec(split.front);
  const letter = match && LETTERS.get(match[1] as string);
  const { abbreviation } = split.constellation;
  if (letter) return [...new Set([`${letter}${match[2]}|${abbreviation}`, `${letter}|${abbreviation}`])];
  return /^(\d{1,3}|[a-z]{1,2})$/.test(split.front) ? [`${split.front}|${abbreviation}`] : [];
}

/** The last one or two words as a constellation, and what stands before it run together. */
export function splitStar(words: readonly string[]): { front: string; constellation: Constellation } | null {
  if (words.length < 2 || !LAST_WORDS.has(words.at(-1) as string)) return null;
  for (const taken of [2, 1]) {
    const constellation = BY_NAME.get(words.slice(-taken).join(""));
    const front = words.slice(0, -taken).join("");
    if (constellation && front !== "" && front.length <= 10) return { front, constellation };
  }
  return null;
}
