/** What people ask for that no telescope here is pointed at: said as what it is, with what to ask for instead. */

/** Why, and the name of what shows it instead, where something does. */
export interface NoTarget {
  readonly sentence: string;
  readonly instead: string | null;
}

const MOONS: Readonly<Record<string, string>> = {
  ...{ io: "Jupiter", europa: "Jupiter", ganymede: "Jupiter", callisto: "Jupiter" },
  ...{ titan: "Saturn" },
};

/** Words that may stand beside a moon's name. */
const BESIDE_MOON = /^(the )?((moon|jupiters?|saturns?) )*(moon )?/;

/** Parts of a planet or the Moon, and their families, with the name of what shows them. */
const PARTS: readonly (readonly [pattern: RegExp, shownBy: string])[] = [
  [/^(the )?(galilean moons?|jupiters moons?|moons? of jupiter|(great|jupiters) red spot)$/, "Jupiter"],
  [/^(the )?(saturns (rings?|moons?)|(rings?|moons?) of saturn)$/, "Saturn"],
  [
    /^(the )?(moon craters?|craters?( (of|on) the moon)?|lunar (surface|craters?)|tycho( crater)?|copernicus( crater)?|full moon|half moon|new moon)$/,
    "Moon",
  ],
];

const SATELLITES =
  /^(the )?(iss|international space station|tiangong|hubble( space)?( telescope)?|jwst|webb( space)?( telescope)?|james webb( space)?( telescope)?|hst|starlink.*|satellites?|space station)$/;
const GALACTIC_CENTRE =
  /^(the )?(sagittarius a( star)?|sgr a( star)?|(galactic|milky ways?|galaxys?) cent(re|er)|cent(re|er) of the (galaxy|milky way))$/;

/** null for everything that may be a target. @param words as they are typed, bare and in lower case */
export function noTarget(words: readonly string[]): NoTarget | null {
  const text = words.join(" ");
  const moon = text.replace(BESIDE_MOON, "").replace(/ moon$/, "");
  const planet = Object.hasOwn(MOONS, moon) ? (MOONS[moon] as string) : null;
  if (planet !== null) {
    const name = `${moon.charAt(0).toUpperCase()}${moon.slice(1)}`;
    return {
      sentence: `${name} stands too near ${planet}'s glare for a pointing of its own: ask for ${planet}, and it is in the frame.`,
      instead: planet,
    };
  }
  const shownBy = PARTS.find(([pattern]) => pattern.test(text))?.[1];
  if (shownBy !== undefined) {
    const whole = shownBy === "Moon" ? "the Moon" : shownBy;
    return { sentence: `That is in a frame of ${whole}: ask for ${whole}.`, instead: shownBy };
  }
  if (SATELLITES.test(text)) {
    return {
      sentence:
        "A satellite crosses the field in half a second or so, faster than this telescope follows: ask for something among the stars.",
      instead: null,
    };
  }
  if (GALACTIC_CENTRE.test(text)) {
    return {
      sentence:
        "The Galaxy's centre, Sagittarius A*, cannot be seen here: dust lets no visible light come through. M8 and M22 are bright and near it on the sky.",
      instead: null,
    };
  }
  if (/^(the |an? )?black holes?$/.test(text)) {
    return {
      sentence:
        "A black hole gives no light: what can be taken is the star beside one, Cygnus X-1, or the galaxy around one, M87.",
      instead: "Cygnus X-1",
    };
  }
  if (/^(the |our )?milky way( galaxy)?$/.test(text)) {
    return {
      sentence: "The Milky Way is far wider than the field: ask for a piece of it, such as M24 or M11.",
      instead: "M11",
    };
  }
  return null;
}
