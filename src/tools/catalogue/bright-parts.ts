/**
 * Planetary nebulae whose listed size counts a faint halo, or whose listed magnitude is photographic: the bright part's axes
 * in arc minutes, and V of the whole nebula. Sources: Acker et al. 1992 (Strasbourg-ESO Catalogue of Galactic Planetary
 * Nebulae), O'Dell et al. 2004 (AJ 128, 2339) for the Helix's inner ring; from memory.
 */
const TABLE = `
M57|1.4 1.0|8.8
M27|8.0 5.6|7.4
M97|3.4 3.3|9.9
M76|2.7 1.8|10.1
C63|8.3 8.3|7.6
`;

export interface BrightPart {
  readonly axesArcminutes: readonly [number, number];
  readonly magnitude: number;
}

/** By key: "M57", "C63". */
export const brightParts: ReadonlyMap<string, BrightPart> = new Map(
  TABLE.trim()
    .split("\n")
    .map((row) => {
      const [key = "", axes = "", magnitude = ""] = row.split("|");
      return [
        key,
        { axesArcminutes: axes.split(" ").map(Number) as [number, number], magnitude: Number(magnitude) },
      ];
    }),
);
