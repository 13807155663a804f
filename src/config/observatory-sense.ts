/** What no single key of the observatory can check: numbers that make sense only beside one another. */
import type { Camera, Dome, Limits, Observatory } from "../observatory/observatory.js";
import type { ConfigFault } from "./config-fault.js";

/** As high as the altitude limit itself may be; a mask that is higher all round hides the whole sky. */
const MASK_MUST_FALL_BELOW = 80;

/** All faults of this kind. */
export function observatoryFaults({ dome, limits, camera }: Observatory): ConfigFault[] {
  return [
    ...shortestBeyondLongest(camera),
    ...halfABand(camera),
    ...(dome === null ? [] : [...tubeOutside(dome), ...slitWiderThanDome(dome)]),
    ...cornersAtOneAzimuth(limits),
    ...skyAllHidden(limits),
    ...brightNeedsDarker(limits),
  ];
}

function shortestBeyondLongest({ shortestExposureSeconds, longestExposureSeconds }: Camera): ConfigFault[] {
  if (shortestExposureSeconds < longestExposureSeconds) return [];
  const allowed = `less than longestExposureSeconds, ${longestExposureSeconds}`;
  return [
    { path: ["observatory", "camera", "shortestExposureSeconds"], found: shortestExposureSeconds, allowed },
  ];
}

/** Of a band's middle and width, one is no use without the other. */
function halfABand({ filters }: Camera): ConfigFault[] {
  return filters.flatMap(({ centreNanometres: centre, widthNanometres: width }, index) => {
    if ((centre === null) === (width === null)) return [];
    const key = centre === null ? "widthNanometres" : "centreNanometres";
    const other = centre === null ? "centreNanometres" : "widthNanometres";
    const path = ["observatory", "camera", "filters", index, key];
    return [
      {
        path,
        found: (centre ?? width) as number,
        allowed: `${other} beside it: a band has a middle and a width`,
      },
    ];
  });
}

/** From outside its dome a telescope has no slit to look through. */
function tubeOutside(dome: Dome): ConfigFault[] {
  const { north, east, up } = dome.mountOffsetMetres;
  const mount = Math.hypot(north, east, up);
  const radius = dome.diameterMetres / 2;
  if (mount + dome.tubeOffsetMetres < radius) return [];
  const offset = mount >= radius ? "mountOffsetMetres" : "tubeOffsetMetres";
  return [
    {
      path: ["observatory", "dome", offset],
      found: offset === "mountOffsetMetres" ? mount : dome.tubeOffsetMetres,
      allowed: `mount and tube within the dome, less than ${radius} m from its centre together`,
    },
  ];
}

function slitWiderThanDome({ slitWidthMetres, diameterMetres }: Dome): ConfigFault[] {
  if (slitWidthMetres < diameterMetres) return [];
  const allowed = `less than diameterMetres, ${diameterMetres}: a slit is narrower than its dome`;
  return [{ path: ["observatory", "dome", "slitWidthMetres"], found: slitWidthMetres, allowed }];
}

/** 0 and 360 may both be there: the round's beginning and its end. */
function cornersAtOneAzimuth({ horizonMask }: Limits): ConfigFault[] {
  const azimuths = horizonMask.map(({ azimuthDegrees }) => azimuthDegrees);
  return azimuths.flatMap((found, index) =>
    azimuths.indexOf(found) === index
      ? []
      : [
          {
            path: ["observatory", "limits", "horizonMask", index, "azimuthDegrees"],
            found,
            allowed: "a different azimuth for each corner (the edge of a wall is two corners, 0.1 apart)",
          },
        ],
  );
}

function skyAllHidden({ horizonMask }: Limits): ConfigFault[] {
  const lowest = Math.min(...horizonMask.map(({ altitudeDegrees }) => altitudeDegrees));
  if (horizonMask.length === 0 || lowest < MASK_MUST_FALL_BELOW) return [];
  return [
    {
      path: ["observatory", "limits", "horizonMask", 0, "altitudeDegrees"],
      found: horizonMask[0]?.altitudeDegrees ?? lowest,
      allowed: `a mask that falls below ${MASK_MUST_FALL_BELOW} somewhere: this one hides the sky all round`,
    },
  ];
}

function brightNeedsDarker({ sunAltitudeDegrees, brightSunAltitudeDegrees }: Limits): ConfigFault[] {
  if (brightSunAltitudeDegrees >= sunAltitudeDegrees) return [];
  return [
    {
      path: ["observatory", "limits", "brightSunAltitudeDegrees"],
      found: brightSunAltitudeDegrees,
      allowed: `at least sunAltitudeDegrees, ${sunAltitudeDegrees}: bright targets need no darker sky than faint ones`,
    },
  ];
}
