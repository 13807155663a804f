/** The configuration: every key, what it may hold, and its default. Units are in the names. */
import { IANAZone } from "luxon";
import { validate } from "node-cron";
import { z } from "zod";
import { RULE_NAMES } from "../queue/request.js";
import { discordSection } from "./discord-section.js";
import { referenceFaults } from "./references.js";

const axis = z.strictObject({
  speed: z.number().positive().max(20),
  acceleration: z.number().positive().max(50),
});
const clockTime = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, "a time such as 23:00");
const identifier = z.string().regex(/^[a-z0-9][a-z0-9-]{0,39}$/, "lower-case letters, digits and dashes");
/** Text that is shown: no control characters, none that turn the direction of writing. */
const shown = (longest: number) =>
  z
    .string()
    .trim()
    .min(1)
    .max(longest)
    .regex(/^[^\p{Cc}\u202a-\u202e\u2066-\u2069]*$/u, "text without control characters");
const personName = shown(40);

const site = z.strictObject({
  name: shown(80),
  latitudeDegrees: z.number().min(-90).max(90),
  longitudeDegrees: z.number().min(-180).max(180),
  elevationMetres: z.number().min(-430).max(6000),
  timeZone: z.string().refine((zone) => IANAZone.isValidZone(zone), "an IANA zone such as America/Chicago"),
});

const mount = z.strictObject({
  kind: z.enum(["equatorial-fork", "german-equatorial", "altazimuth"]),
  firstAxis: axis,
  secondAxis: axis,
  settleSeconds: z.number().min(0).max(600),
});

const dome = z.strictObject({
  diameterMetres: z.number().positive().max(60),
  rotation: axis,
  shutterSeconds: z.number().min(0).max(1800),
  slitWidthMetres: z.number().positive().max(20),
  mountOffsetMetres: z.strictObject({
    north: z.number(),
    east: z.number(),
    up: z.number(),
  }),
  tubeOffsetMetres: z.number().min(0).max(5),
});

const filter = z.strictObject({
  name: z.string().regex(/^[A-Za-zα-ωΑ-Ω][\wα-ωΑ-Ω-]{0,15}$/, "a short word such as V or clear"),
  slot: z.number().int().min(0).max(31),
  extinction: z.number().min(0).max(3),
  zeroPointElectrons: z.number().positive(),
  skyMagnitude: z.number().min(10).max(30),
});

const camera = z.strictObject({
  widthPixels: z.number().int().min(16).max(20000),
  heightPixels: z.number().int().min(16).max(20000),
  pixelMicrometres: z.number().positive().max(100),
  focalLengthMillimetres: z.number().positive().max(100000),
  gainElectronsPerAdu: z.number().positive().max(1000),
  readNoiseElectrons: z.number().min(0).max(1000),
  darkElectronsPerSecond: z.number().min(0).max(1000),
  fullWellElectrons: z.number().positive(),
  biasAdu: z.number().min(0).max(60000),
  readOutSeconds: z.number().min(0).max(600),
  seeingArcseconds: z.number().positive().max(30),
  filterStepSeconds: z.number().min(0).max(120),
  filters: z.array(filter).min(1),
});

const limits = z.strictObject({
  altitudeDegrees: z.number().min(0).max(80),
  horizonMask: z
    .array(
      z.strictObject({
        azimuthDegrees: z.number().min(0).max(360),
        altitudeDegrees: z.number().min(-5).max(90),
      }),
    )
    .default([]),
  sunAltitudeDegrees: z.number().min(-18).max(0).default(-12),
  brightSunAltitudeDegrees: z.number().min(-18).max(0).default(-6),
  brightMagnitude: z.number().default(3),
  sunSeparationDegrees: z
    .number()
    .min(10, "at least 10: the Sun limit protects eyes and optics")
    .max(180)
    .default(30),
  moonSeparationDegrees: z.number().min(0).max(180).default(10),
  hourAngleHours: z.number().positive().max(12).nullable().default(null),
  zenithHoleDegrees: z.number().positive().max(30).nullable().default(null),
});

const observatory = z.strictObject({
  site,
  mount,
  dome: dome.nullable(),
  camera,
  limits,
  handOverSeconds: z.number().min(0).max(600),
});

const member = z.strictObject({
  id: identifier,
  name: personName,
  group: shown(40).nullable().default(null),
});

const teachingClass = z.strictObject({
  id: identifier,
  name: shown(80),
  /** One of `tiers`. */
  tier: z.string(),
  students: z.array(member).default([]),
  instructors: z.array(member).default([]),
  operators: z.array(member).default([]),
});

const queue = z.strictObject({
  rule: z.enum(RULE_NAMES).default("highest-first"),
  /** Waiting requests one student may have at a time. */
  waitingPerPerson: z.number().int().min(1).max(1000).default(5),
  longestExposureSeconds: z.number().positive().max(7200).default(600),
  mostFrames: z.number().int().min(1).max(1000).default(20),
  /** Frames × exposure of one request, at most. */
  longestRequestMinutes: z.number().positive().max(1440).default(60),
});

/** node-cron takes a sixth field for seconds too, which a clock of minutes would pass over. */
function isMinuteExpression(expression: string): boolean {
  return expression.trim().split(/\s+/).length === 5 && validate(expression);
}

const notices = z.strictObject({
  /** Tell people when their estimate moves by more than this. */
  movedMinutes: z.number().min(1).max(600).default(10),
  undoSeconds: z.number().int().min(0).max(3600).default(120),
  quietFrom: clockTime.default("23:00"),
  quietUntil: clockTime.default("08:00"),
  /** When those who slept are told: minute, hour, day, month, weekday (node-cron), in the site's time zone. */
  morningSummaryAt: z
    .string()
    .refine(isMinuteExpression, 'five fields such as "30 8 * * *": minute, hour, day, month, weekday')
    .default("30 8 * * *"),
});

/** A multiple of a configured time. */
const multiple = z.number().min(0.05).max(20).default(1);
const practiceOverheads = z.strictObject({
  slew: multiple,
  dome: multiple,
  filter: multiple,
  shutter: multiple,
  settle: multiple,
  handOver: multiple,
});

const practice = z.strictObject({
  /** Practice seconds for one real second. */
  speed: z.number().min(1).max(3600).default(60),
  seed: z.number().int().default(1),
  /** Random noise on every time; 0 makes reality equal the forecast. */
  overheadScatter: z.number().min(0).max(1).default(0),
  /** How much slower the machines really are than configured: 1.4 for 1.4 ×. The forecast has to find out. */
  overheads: practiceOverheads.prefault({}),
  /** Share of the night lost to passing cloud. */
  cloudFraction: z.number().min(0).max(1).default(0),
  camera: z.enum(["fitted", "away"]).default("fitted"),
  /** Takes requests by day too, to show a class what the Sun does to a frame; the Sun limit stays. */
  daylight: z.boolean().default(false),
  /** Whether the invented class makes requests of its own. */
  classmates: z.boolean().default(true),
});

const telescope = z.strictObject({
  link: z.enum(["practice"]).default("practice"),
  practice: practice.prefault({}),
});

const forecast = z.strictObject({
  runs: z.number().int().min(50).max(5000).default(300),
  seed: z.number().int().default(1),
  /** What is expected before anything is learned. */
  arrivalsPerHour: z.number().min(0).max(1000).default(6),
  overheadScatter: z.number().min(0).max(2).default(0.15),
  openMinutes: z.number().positive().default(240),
  closedMinutes: z.number().min(0).default(20),
  failureFraction: z.number().min(0).max(1).default(0.02),
});

const room = z.strictObject({
  enabled: z.boolean().default(true),
  /** Loopback only unless the classroom is let in. */
  host: z.string().default("127.0.0.1"),
  port: z.number().int().min(0).max(65535).default(8420),
  /** The class that meets in the room; the first one when left out. */
  classId: identifier.optional(),
  /** What students type to come in; a new one at each start when left out. */
  classCode: z
    .string()
    .regex(/^[A-Za-z0-9-]{6,40}$/, "6 to 40 letters, digits and dashes")
    .optional(),
  /** Further names under which browsers may reach the room, such as one given by the school's network. */
  hostNames: z.array(z.string().regex(/^[a-z0-9.-]{1,253}$/, "a host name in lower case")).default([]),
});

export const configSchema = z
  .strictObject({
    observatory,
    /** Names of the tiers, the first runs first. */
    tiers: z.array(identifier).min(1).default(["staff", "class", "guests"]),
    /** Tier of what instructors and operators ask for. */
    staffTier: z.string().default("staff"),
    classes: z.array(teachingClass).min(1),
    queue: queue.prefault({}),
    notices: notices.prefault({}),
    telescope: telescope.prefault({}),
    forecast: forecast.prefault({}),
    discord: discordSection(identifier).prefault({}),
    room: room.prefault({}),
    /** Where the journal and frames are kept; relative to the working directory. */
    dataFolder: shown(1_000).default("data"),
    /** Personal data older than this is removed. */
    keepDays: z.number().int().min(1).max(3660).default(400),
  })
  .superRefine((config, context) => {
    for (const { path, found, allowed } of referenceFaults(config)) {
      context.addIssue({ code: "custom", path, message: allowed, input: found });
    }
  });

export type Config = z.output<typeof configSchema>;
export type TeachingClass = Config["classes"][number];
