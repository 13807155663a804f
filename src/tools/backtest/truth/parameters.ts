/** The truth model's parameters: every key, what it may hold. Units are in the names; default.yaml explains each. */
import { IANAZone } from "luxon";
import { z } from "zod";

const share = z.number().min(0).max(1);
const minutes = z.number().min(0).max(1440);
const spread = z.number().min(0).max(3);
const perNight = z.number().min(0).max(500);
const date = z.iso.date("a date such as 2026-01-12");

/** One part of an action: its typical multiple of the configured time, and how that varies. */
const machine = z.strictObject({
  factor: z.number().min(0.1).max(20),
  nightSpread: spread,
  actionSpread: spread,
});

const site = z.strictObject({
  name: z.string().min(1).max(80),
  latitudeDegrees: z.number().min(-66).max(66),
  longitudeDegrees: z.number().min(-180).max(180),
  timeZone: z.string().refine((zone) => IANAZone.isValidZone(zone), "an IANA zone such as America/Chicago"),
  students: z.number().int().min(1).max(500),
  seasons: z.array(date).min(1).max(50),
  measures: z.enum(["components", "total"]),
});

const spell = z.strictObject({ medianMinutes: z.number().positive().max(100_000), spread });

export const truthSchema = z.strictObject({
  sites: z.array(site).min(1).max(50),
  daysBetweenNights: z.number().int().min(1).max(60),
  arrivals: z.strictObject({
    earlyPerStudent: z.number().min(0).max(50),
    earlyMinutes: minutes,
    classBeginsMinutesAfterDusk: minutes,
    classBeginsClock: z
      .string()
      .regex(/^([01]\d|2[0-3]):[0-5]\d$/, "a local time such as 20:00")
      .nullable(),
    classMinutes: z.number().positive().max(1440),
    inClassPerStudent: z.number().min(0).max(50),
    burstShare: share,
    burstRequests: z.number().min(1).max(200),
    burstMinutes: minutes,
    latePerHour: z.number().min(0).max(200),
    staffPerNight: perNight,
    guestsPerNight: perNight,
    nightSpread: spread,
    withdrawnPerHour: z.number().min(0).max(20),
  }),
  wishes: z.strictObject({
    favourites: z.number().int().min(1).max(300),
    favouriteShare: share,
    upShare: share,
    faintestMagnitude: z.number().min(-2).max(20),
    exposureSeconds: z.array(z.number().positive().max(7200)).min(1),
    frames: z.array(z.number().int().min(1).max(1000)).min(1),
    notBeforeShare: share,
  }),
  machines: z.strictObject({
    slew: machine,
    dome: machine,
    filter: machine,
    shutter: machine,
    settle: machine,
    readOut: machine,
    handOver: machine,
    slowingNightShare: share,
    slowingFactor: z.number().min(0.1).max(20),
    stuckShare: share,
    stuckSeconds: z.number().min(0).max(3600),
    stuckTail: z.number().min(0.5).max(20),
    longestStuckMinutes: minutes,
    domeRepairedAfterShare: share.nullable(),
    domeRepairedFactor: z.number().min(0.1).max(20),
  }),
  cloud: z.strictObject({
    persistence: share,
    inTurn: z.boolean(),
    kinds: z
      .array(
        z.strictObject({
          weight: z.number().positive().max(1000),
          open: spell,
          closed: spell,
          forGoodShare: share.default(0),
        }),
      )
      .min(1),
    holdDelayMinutes: minutes,
    resumeDelayMinutes: minutes,
    endSaidShare: share,
    endSaidMinutes: minutes,
    lostShare: share,
  }),
  failures: z.strictObject({
    share: z.number().min(0).max(0.9),
    againShare: share,
    repairMedianMinutes: minutes,
    repairSpread: spread,
  }),
  fullNights: z.strictObject({
    nightsPerSite: z.number().int().min(0).max(500),
    demandFactor: z.number().min(0.1).max(100),
  }),
});

export type Truth = z.output<typeof truthSchema>;
export type TruthSite = Truth["sites"][number];
