/** Where the observatory stands. */
import type { Degrees, Metres } from "../base/units.js";

export interface Site {
  readonly name: string;
  /** Geodetic latitude, north positive. */
  readonly latitudeDegrees: Degrees;
  /** Longitude, east positive. */
  readonly longitudeDegrees: Degrees;
  readonly elevationMetres: Metres;
  /** IANA time zone, such as "America/Chicago". */
  readonly timeZone: string;
}
