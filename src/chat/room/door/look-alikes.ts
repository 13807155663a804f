/** Which names look alike: compared letter by letter after Unicode's table of confusable characters. */

/**
 * From confusables.txt, version 13.0.0, of Unicode Technical Standard #39 (© Unicode, Inc., Unicode License v3,
 * https://www.unicode.org/license.txt): letters of the scripts that names may have here, each under the small
 * Latin letters it can be taken for. The small capitals are ours.
 */
const LOOKS = `
a=ɑ aa=ꜳꜲ ae=æÆ ao=ꜵꜴ au=ꜷꜶ av=ꜹꜻꜸꜺ ay=ꜽꜼ b=ƄꞴɓƃƂƀ c=ᴄȼ d=ɗɖƌđĐÐƉ dz=ʣ e=ꬲɇɆ f=ꬵꞙẝꞘƒƑᵮ g=ɡᶃƍɠǥǤ
h=ɦⱧħĦ i=ıɪɩɨᵻᵼ j=ꞲɉɈ k=ƙⱩꝀ l=ƖǀłŁɭƗƚɫ ll=ǁ ls=ʪ lz=ʫ n=ɳƞƝᵰ o=ᴏᴑꬽøꬾØɵꝋƟꝊ oe=œŒ oo=ꝏꝎ p=ƥᵽ q=ʠ r=ꭇꭈƦɽɼɍᵲ
rn=ɱᵯ s=ꜱƽʂᵴ t=ƭȾƮŧŦᵵ tf=ꝷ ts=ʦ u=ꞟᴜꭎꭒʋᵾɄ ue=ᵫ uo=ꭣ v=ᴠ w=ɯᴡꝡ x=Ꭓ y=ɣᶌʏỿꭚƴɏɎ z=ᴢʐƶƵȥȤᵶ
a=ᴀ b=ʙ d=ᴅ e=ᴇ f=ꜰ g=ɢ h=ʜ j=ᴊ k=ᴋ l=ʟ m=ᴍ n=ɴ p=ᴘ q=ꞯ r=ʀ t=ᴛ
a=αΑ b=Β e=Ε f=Ϝ h=Η i=ι j=ϳͿ k=Κ l=Ι m=ΜϺ n=Νη o=οσΟθΘ p=ρΡ r=ᴦ t=Τ u=υ v=ν x=Χ y=γΥ z=Ζ
a=аА ae=ӕӔ b=ЬВБҍҌѣѢ bl=Ы c=сСҫҪ d=ԁ e=еҽЕҿ g=Ԍ h=һНꚕҢћӉӇ i=іꙇӏ j=јЈ k=КҚҞ l=ІӀ lo=Ю m=МӍ o=оОөѳӨѲ
oo=ꚙꚘ p=рР q=ԛ r=гғ s=ѕЅ t=ТҬ v=ѵѴ w=ѡԝԜѽ x=хХҲ y=уүУҮұҰ
f=ք g=ց h=հ n=ոռ o=օՕ q=գզ s=Տ u=սՍ w=ա
a=Ꭺ b=ᏏᏴ c=Ꮯ d=ᏧᎠ e=Ꭼ g=ᏀᏳ h=ᏂᎻᏲ i=Ꭵ j=Ꭻ k=Ꮶ l=Ꮮ m=Ꮇ o=ᎾᏫꭴ p=Ꮲ r=ᎡᏒ s=ᏕᏚ t=Ꭲ u=Ꮜ v=Ꮩ w=ᎳᏔ y=ᎩᎽ z=Ꮓ
a=ᗅ b=ᑲᖯᗷᑳ d=ᑯᗞᗪ f=ᖴ h=ᕼ j=ᒍ l=ᒪ m=ᗰ p=ᑭ r=ᖇ u=ᑌ v=ᐯ x=ᕁᕽ
e=ⴹ l=ⵏ o=ⵔⵁⴱ q=ⵕ v=ⴸ x=ⵝ
l=ߊ o=߀
`;

const LATIN_FOR: ReadonlyMap<string, string> = new Map(
  LOOKS.trim()
    .split(/\s+/)
    .flatMap((entry) => {
      const [latin = "", letters = ""] = entry.split("=");
      return [...letters].map((letter) => [letter, latin] as const);
    }),
);

/** What stands upright and alone: a capital i, a one, and whatever the table takes for a small L. */
const UPRIGHT = "il|";
/** A small L, which is taken for a capital i but not for a small one. */
const SMALL_L = "l|";
/** The letters that are written with a digit. */
const DIGITS: Readonly<Record<string, string>> = {
  0: "oq",
  1: UPRIGHT,
  2: "z",
  3: "e",
  4: "a",
  5: "s",
  6: "bg",
  7: "t",
  8: "b",
  9: "gq",
};

/**
 * Whether a reader may take one name for the other: case, accents of Latin, Greek and Cyrillic letters, spaces
 * and punctuation don't count, nor does a letter or digit that looks like another.
 */
export function sameName(one: string, other: string): boolean {
  if (bareName(one) === bareName(other)) return true;
  const [a, b] = [glyphs(one), glyphs(other)];
  return (
    a.length === b.length && a.every((glyph, at) => [...glyph].some((letter) => b[at]?.includes(letter)))
  );
}

/** What is left of a name to compare: those alike in it differ at most in case, accents, spaces and punctuation. */
export function bareName(name: string): string {
  return lettersOf(name).toLowerCase().normalize("NFC");
}

/** Letters, digits and, in scripts where they are letters, marks. */
function lettersOf(name: string): string {
  return name
    .normalize("NFKD")
    .replace(/([\p{Script=Latin}\p{Script=Greek}\p{Script=Cyrillic}])\p{M}+/gu, "$1")
    .replace(/[^\p{L}\p{N}\p{M}]/gu, "");
}

/** For each letter to be seen, the letters that it may be: "i" or "l" for a capital i, "r" and "n" for an m. */
function glyphs(name: string): string[] {
  return [...lettersOf(name)].flatMap((letter) => {
    const digit = DIGITS[letter];
    if (digit !== undefined) return [digit];
    if (letter === "I") return [UPRIGHT];
    if (letter === "l") return [SMALL_L];
    if (letter === "O" || letter === "Q") return ["oq"];
    const small = letter.toLowerCase();
    const latin = latinFor(letter) ?? LATIN_FOR.get(small) ?? small;
    if (latin === "l" && letter !== "L") return [UPRIGHT];
    return [...latin.replaceAll("m", "rn")];
  });
}

/** Cherokee's small letters are its capitals drawn smaller. */
function latinFor(letter: string): string | undefined {
  return LATIN_FOR.get(/\p{Script=Cherokee}/u.test(letter) ? letter.toUpperCase() : letter);
}
