/** The Sun by any name: never a target, and the refusal says why. */

/** Words for the Sun itself. */
const SUN_WORDS = new Set("sun sol solar sunspot sunspots helios sonne soleil".split(" "));
/** Words that may stand beside them: parts of it, and small talk. */
const BESIDE_SUN = new Set(
  "the our a star planet please center centre disk disc limb surface spot spots eclipse corona flare flares prominence prominences".split(
    " ",
  ),
);

/** What a person who asks for the Sun reads. */
export const SUN_SENTENCE =
  "The Sun is never a target: through a telescope it burns eyes, cameras and optics in an instant. " +
  "Ask for something of the night, such as M13 or Jupiter, and never look at the Sun through any optics.";

/** True for "Sun", "the sun", "Sol", "☉", "sunspots"; false for "Sunflower Galaxy". */
export function isSun(text: string, words: readonly string[]): boolean {
  if (words.length === 0) return text.includes("☉");
  return (
    words.some((word) => SUN_WORDS.has(word)) &&
    words.every((word) => SUN_WORDS.has(word) || BESIDE_SUN.has(word))
  );
}
