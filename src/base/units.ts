/** Named quantities: what a bare number means is said by its type and by the unit in its name. */

/** An angle in degrees. */
export type Degrees = number;
/** An angle in radians. */
export type Radians = number;
/** An instant: milliseconds since 1970-01-01T00:00:00 UTC (leap seconds not counted). */
export type UtcMillis = number;
/** A duration in milliseconds. */
export type Millis = number;
/** A duration in seconds. */
export type Seconds = number;
/** A length in metres. */
export type Metres = number;

export const SECOND: Millis = 1_000;
export const MINUTE: Millis = 60_000;
export const HOUR: Millis = 3_600_000;
export const DAY: Millis = 86_400_000;

/** Radians in one degree. */
export const RADIANS_PER_DEGREE = Math.PI / 180;
/** Degrees in one radian. */
export const DEGREES_PER_RADIAN = 180 / Math.PI;
