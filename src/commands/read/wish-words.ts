/** The words of a wish, as people say them: what carries nothing, numbers in letters, colours of filters. */

/** Said beside a wish, and no part of it. */
const SAID_BESIDE =
  "a an the this that these those some any of in on at to from with using through thru via by and or then also plus too " +
  "i we you me us my our your it its is are be am was im id ive were lets let " +
  "please pls plz plse pleas thanks thank thankyou thx ty cheers kindly hi hello hey hiya dear ok okay yes yeah so well um just maybe perhaps " +
  "can could may might would will shall should do does did want wanna wants like wish love need needs try trying get getting got have having has had " +
  "take taking make give show see seeing look looking point pointing aim observe observing observation observations photograph photographing image imaging " +
  "shoot shooting snap capture capturing grab request requesting ask asking order book queue put add schedule telescope scope camera bot " +
  "looks instead core centre center middle short deep wide field single gimme cud wud whats suggest recommend " +
  "picture pictures pic pics photo photos photographs images shot shots snaps frame frames sub subs exposure exposures exp exposed expose long each " +
  "filter filters band second seconds minute minutes time times target object constellation called named " +
  "tonight now today soon asap later here there up next first possible possibly able quick quickly nice good beautiful pretty cool awesome best " +
  "rise rises rising set sets setting highest best culminate culminates transit transits " +
  "info information facts details about tell someone somebody anyone for one more another again when if as how what where which who ready high visible really very much only lovely";
export const BESIDE = new Set(SAID_BESIDE.split(" "));

/** Said before and after a wish in several words. */
export const POLITE =
  /\b(as soon as possible|as soon as you can|if (it is |its |that is |thats )?possible|if (you|we|i) (can|could|may)|if (its|it is) (up|clear|dark)|(whenever|when|once|as soon as) (it|its|it is|you can|possible|that)( is| s)?( up| high| rises| clear| dark| ready)*( enough)?|in advance|a lot|at some point|this evening|this night|for (me|us|now|tonight|today|everyone|everybody|fun|a change)|good (evening|morning|night|afternoon)|of course|by the way|at all|right now)\b/g;

/** What a request is for: a person's own purpose, not another person. */
const PURPOSES =
  "lab|labs|laboratory|report|project|class|course|homework|assignment|presentation|talk|poster|essay|thesis|paper|exam|test|quiz|lesson|study|lecture|seminar|astronomy|physics|science|school|portfolio|exercise|experiment|practical|measurement|photometry|spectroscopy|astrometry|comparison|calibration|focus|section|unit|week|group|team|collage|mosaic|print|wall|website|blog|newsletter|club|show|demo|open|color|colour|rgb|research|final|finals|grade|extra|credit|diploma|worksheet|notebook|logbook|journal|data|light|practice|learning|education";
export const PURPOSE = new RegExp(
  `\\b(?:(?:for|as part of)\\s+(?:(?:my|our|the|an?|this|that|some)\\s+)?(?:\\p{L}+\\s+)?(?:${PURPOSES})\\b|(?:because|cause|since|so that|so (?:i|we) can|in order to|to (?:finish|complete|compare|study|measure|practi[cs]e|test|learn|teach|check|find))\\s)[^|¦]*`,
  "iu",
);

const NUMBERS: Readonly<Record<string, number>> = {
  ...{
    a: 1,
    an: 1,
    one: 1,
    two: 2,
    three: 3,
    four: 4,
    five: 5,
    six: 6,
    seven: 7,
    eight: 8,
    nine: 9,
    ten: 10,
  },
  ...{ twelve: 12, fifteen: 15, twenty: 20, thirty: 30, forty: 40, sixty: 60, ninety: 90 },
  ...{ "half a": 0.5, "half an": 0.5, "a couple of": 2, "a couple": 2, "a few": 3, "a single": 1 },
};
/** A number as it is written in a pattern, one group. */
export const NUMBER = `(\\d+(?:[.,]\\d+)?|[.,]\\d+|(?:${Object.keys(NUMBERS)
  .sort((a, b) => b.length - a.length)
  .join("|")})(?=[\\s-]))`;

/** Its value: "1,5" is one and a half. */
export function numberIn(text: string): number {
  return NUMBERS[text.toLowerCase().replace(/\s+/g, " ")] ?? Number(text.replace(",", "."));
}

/** What a filter is called besides its own name, likeliest first. */
const FILTERS: Readonly<Record<string, readonly string[]>> = {
  ...{ red: ["R", "Red", "r"], green: ["V", "G", "Green", "g"], blue: ["B", "Blue", "b"] },
  ...{
    visual: ["V"],

    yellow: ["V"],
    infrared: ["I", "IR", "i"],
    ultraviolet: ["U", "UV", "u"],
  },
  ...{ l: ["clear", "Lum"], lum: ["clear", "Luminance", "L"], luminance: ["clear", "Lum", "L"] },
  ...{ white: ["clear", "L"], none: ["clear"], unfiltered: ["clear"], open: ["clear"], c: ["clear"] },
  ...{ hydrogen: ["Hα", "Ha", "H-alpha"], halpha: ["Hα", "Ha"] },
};

/** The names that a filter may have in the configuration for a word such as "red" or "luminance". */
export function alsoCalled(word: string): readonly string[] {
  const known = word.toLowerCase();
  return Object.hasOwn(FILTERS, known) ? (FILTERS[known] as readonly string[]) : [];
}
