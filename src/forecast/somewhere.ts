/** Stand-ins for targets that nobody has asked for yet. */
import type { Site } from "../sky/site.js";
import type { FixedTarget } from "../sky/target.js";

const RIGHT_ASCENSIONS = 12;
/** How far from the zenith a target passes the meridian: most asked-for targets pass within 50°. */
const FROM_ZENITH_DEGREES = [5, -20, 35] as const;

const made = new Map<number, readonly FixedTarget[]>();

/** Places all round the sky that pass the site's meridian at 85°, 70° and 55°: some are up at any hour. */
export function somewhere({ latitudeDegrees }: Site): readonly FixedTarget[] {
  const known = made.get(latitudeDegrees);
  if (known) return known;
  const south = latitudeDegrees < 0 ? -1 : 1;
  const places = Array.from({ length: RIGHT_ASCENSIONS }, (_, index): FixedTarget => {
    const away = FROM_ZENITH_DEGREES[index % FROM_ZENITH_DEGREES.length]!;
    return {
      kind: "fixed",
      id: `somewhere-${index}`,
      name: "a target nobody has asked for yet",
      type: "galaxy",
      raDegrees: (index * 360) / RIGHT_ASCENSIONS,
      decDegrees: Math.max(-88, Math.min(88, latitudeDegrees - south * away)),
      magnitude: null,
      sizeArcminutes: null,
    };
  });
  made.set(latitudeDegrees, places);
  return places;
}
