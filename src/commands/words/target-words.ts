/** What a target is called in a sentence and in a table. */
import type { Target } from "../../sky/target.js";

/** A few letters: "M57", "NGC 7000", "Vega", "Jupiter". */
export function shortName(target: Target): string {
  if (target.kind !== "fixed") return target.name;
  const catalogued = /^(NGC|IC)(\d.*)$/.exec(target.id);
  if (catalogued) return `${catalogued[1]} ${catalogued[2]}`;
  if (/^(M|C)\d+$/.test(target.id)) return target.id;
  return target.name.replace(/\s*\(.*\)$/, "");
}

/** The same at the start of a sentence: "The Moon". */
export function sentenceName(target: Target): string {
  return target.type === "moon" ? `The ${target.name}` : shortName(target);
}

/** In full, once: "Ring Nebula (M57)", "M13, a globular cluster". */
export function fullName(target: Target): string {
  const short = shortName(target);
  if (target.name.replace(/\s/g, "") === short.replace(/\s/g, "")) return short;
  return target.name.includes(short) ? target.name : `${target.name} (${short})`;
}

/** What it is, with the name that it is called by where that says more: "Ring Nebula, a planetary nebula". */
export function describedWords(target: Target): string {
  const kind = kindWords(target) ?? (target.type === "moon" ? "the Moon" : "a planet");
  const called = fullName(target).replace(` (${shortName(target)})`, "");
  return called === shortName(target) ? kind : `${called}, ${kind}`;
}

/** "a globular cluster", "an open cluster", "the Moon" needs none: null for the great planets, the Moon and bare positions. */
export function kindWords(target: Target): string | null {
  if (target.id === "pluto") return "a dwarf planet";
  if (target.kind === "body" || target.type === "position") return null;
  return `${/^[aeiou]/.test(target.type) ? "an" : "a"} ${target.type}`;
}
