/** What a practice frame's header says: how it was "taken", and that it is simulated. */
import { DAY } from "../../base/units.js";
import type { Circumstances, Exposure } from "../frames/exposure.js";
import type { Card } from "../frames/fits-cards.js";
import { type Field, wcsCards } from "./field.js";

/** What the frame's sky is made of. */
export interface SkyNote {
  /** Where its stars are from. */
  readonly source: string;
  /** Stars fainter than this are invented. */
  readonly listedTo: number;
  readonly cloudMagnitudes: number;
}

/** Header cards beyond the mandatory ones. */
export function frameCards(
  exposure: Exposure,
  circumstances: Circumstances,
  field: Field,
  sky: SkyNote,
): Card[] {
  const { target, exposureSeconds, startUnixMs, observatory, equipment } = exposure;
  const { site, camera } = observatory;
  const round = (value: number, digits: number): number => Number(value.toFixed(digits));
  return [
    { keyword: "SIMULATE", value: true, comment: "SIMULATED: no photon was collected" },
    { keyword: "SYNTHET", value: equipment.camera !== "fitted", comment: "no camera was fitted" },
    { keyword: "OBJECT", value: target.name },
    { keyword: "TELESCOP", value: "practice telescope (SIMULATED)" },
    { keyword: "OBSERVAT", value: site.name },
    { keyword: "SITELAT", value: site.latitudeDegrees, comment: "[deg] north positive" },
    { keyword: "SITELONG", value: site.longitudeDegrees, comment: "[deg] east positive" },
    { keyword: "SITEELEV", value: site.elevationMetres, comment: "[m]" },
    { keyword: "TIMESYS", value: "UTC" },
    { keyword: "DATE-OBS", value: isoTime(startUnixMs), comment: "start of exposure" },
    { keyword: "MJD-OBS", value: modifiedJulianDate(startUnixMs), comment: "[d] start of exposure" },
    { keyword: "DATE-AVG", value: isoTime(circumstances.midUnixMs), comment: "middle of exposure" },
    { keyword: "MJD-AVG", value: modifiedJulianDate(circumstances.midUnixMs), comment: "[d]" },
    { keyword: "EXPTIME", value: exposureSeconds, comment: "[s]" },
    { keyword: "FILTER", value: circumstances.filter.name },
    { keyword: "AIRMASS", value: round(circumstances.airmass, 4), comment: "at mid-exposure" },
    { keyword: "OBJALT", value: round(circumstances.altitudeDegrees, 3), comment: "[deg] true" },
    { keyword: "SUNALT", value: round(circumstances.sunAltitudeDegrees, 3), comment: "[deg]" },
    { keyword: "MOONALT", value: round(circumstances.moonAltitudeDegrees, 3), comment: "[deg]" },
    { keyword: "MOONANGL", value: round(circumstances.moonSeparationDegrees, 2), comment: "[deg]" },
    { keyword: "MOONFRAC", value: round(circumstances.moonIlluminatedFraction, 3) },
    { keyword: "SKYBRGHT", value: round(circumstances.skyMagnitude, 2), comment: "[mag/arcsec2]" },
    { keyword: "CLOUDMAG", value: sky.cloudMagnitudes, comment: "[mag] dimming by cloud" },
    { keyword: "FWHM", value: round(circumstances.fwhmArcseconds, 2), comment: "[arcsec]" },
    { keyword: "DOMESTAT", value: equipment.dome },
    { keyword: "GAIN", value: camera.gainElectronsPerAdu, comment: "[electron/adu]" },
    { keyword: "RDNOISE", value: camera.readNoiseElectrons, comment: "[electron]" },
    { keyword: "DARKCUR", value: camera.darkElectronsPerSecond, comment: "[electron/s]" },
    { keyword: "BIASADU", value: camera.biasAdu, comment: "[adu]" },
    { keyword: "BUNIT", value: "adu" },
    ...wcsCards(field),
    ...comments(exposure, sky),
  ];
}

function comments(exposure: Exposure, sky: SkyNote): Card[] {
  const lines = [
    "SIMULATED by the practice telescope of Nightslate. Do not measure.",
    `Stars to about magnitude ${sky.listedTo.toFixed(1)}: ${sky.source}.`,
    "Fainter stars are INVENTED; their number follows mean star counts.",
    "The target's place, magnitude and size are listed; its detail is invented.",
    "Colours are left out: a magnitude counts alike in every filter.",
  ];
  if (exposure.equipment.camera !== "fitted")
    lines.push("SYNTHETIC: no camera was fitted; bias and noise come from a formula.");
  return lines.map((value) => ({ keyword: "COMMENT", value: ` ${value}` }));
}

/** "2026-11-26T03:04:05.000": FITS has no zone letter (section 9.1.1). */
function isoTime(unixMs: number): string {
  return new Date(unixMs).toISOString().replace("Z", "");
}

/** Days since 1858-11-17T00:00 UTC; 40587 is 1970-01-01. */
function modifiedJulianDate(unixMs: number): number {
  return unixMs / DAY + 40_587;
}
