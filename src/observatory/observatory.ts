/** The machines a request has to wait for, where they stand, and how long they take. */
import type { z } from "zod";
import type { Degrees } from "../base/units.js";
import type { Interval } from "../sky/interval.js";
import type { observatorySchema } from "./observatory-schema.js";

/** The same, to be read only. */
type Fixed<T> = T extends readonly (infer Item)[]
  ? readonly Fixed<Item>[]
  : T extends object
    ? { readonly [Key in keyof T]: Fixed<T[Key]> }
    : T;

export type Observatory = Fixed<z.output<typeof observatorySchema>>;
export type Mount = Observatory["mount"];
export type Axis = Mount["firstAxis"];
export type Dome = NonNullable<Observatory["dome"]>;
export type Camera = Observatory["camera"];
export type Filter = Camera["filters"][number];
export type Limits = Observatory["limits"];
export type MaskCorner = Limits["horizonMask"][number];

/** Where the machines stand now: what the next move starts from. */
export interface Pointing {
  /** Mount axis angles, degrees; for a German mount the second component of the state is `flipped`. */
  readonly firstAxisDegrees: Degrees;
  readonly secondAxisDegrees: Degrees;
  readonly flipped: boolean;
  readonly domeAzimuthDegrees: Degrees;
  readonly filterSlot: number;
  readonly shutterOpen: boolean;
}

/** How long each part of one action takes, milliseconds; parts that run together are not summed. */
export interface ActionTimes {
  readonly slewMs: number;
  readonly domeMs: number;
  readonly filterMs: number;
  readonly shutterMs: number;
  readonly settleMs: number;
  /** max(slew, dome, filter, shutter) + settle. */
  readonly readyMs: number;
  /** frames × (exposure + read-out). */
  readonly exposingMs: number;
  readonly handOverMs: number;
  /** ready + exposing + hand-over. */
  readonly totalMs: number;
}

/** Configured times, to be multiplied by what is learned. */
export const CONFIGURED_OVERHEADS = {
  slew: 1,
  dome: 1,
  filter: 1,
  shutter: 1,
  settle: 1,
  readOut: 1,
  handOver: 1,
};

/** Learned multipliers on the configured times; 1 until something is learned. */
export type OverheadFactors = Readonly<typeof CONFIGURED_OVERHEADS>;

/** An interval in which a target may be observed. */
export type Window = Interval;
