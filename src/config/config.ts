/** The configuration: every key, what it may hold, and its default. Units are in the names. */
import { validate } from "node-cron";
import { z } from "zod";
import { observatorySchema, shown } from "../observatory/observatory-schema.js";
import { RULE_NAMES } from "../queue/request.js";
import { deviceSection } from "./device-section.js";
import { discordSection } from "./discord-section.js";
import { folderSection } from "./folder-section.js";
import { hookSection } from "./hook-section.js";
import { targetsSection } from "./targets-section.js";

const clockTime = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/, "a time such as 23:00");
const identifier = z.string().regex(/^[a-z0-9][a-z0-9-]{0,39}$/, "lower-case letters, digits and dashes");
const personName = shown(40);

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
  /** Whether its frames' file names and headers say who asked, besides number, class and target. */
  namesInFrames: z.boolean().default(false),
});

const queue = z.strictObject({
  rule: z.enum(RULE_NAMES).default("highest-first"),
  /** Below this a target that stands higher later tonight is not taken yet, where nobody is kept waiting by that. */
  worthwhileAltitudeDegrees: z.number().min(0).max(90).nullable().default(null),
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

/** How the queue is joined to a telescope. */
const LINK_NAMES = ["practice", "by-hand", "folder", "hook", "device"] as const;

const frames = z.strictObject({
  /** Of a frame that an operator sends along with /mark. */
  largestMegabytes: z.number().min(1).max(2_000).default(100),
  /**
   * When a frame's stars are called trailed, long axis over short axis; left out, here and below: against what is
   * usual (judge-frame.ts).
   */
  trailedElongation: z.number().min(1.05).max(20).nullable().default(null),
  /** Full width at half maximum. */
  outOfFocusArcseconds: z.number().positive().max(600).nullable().default(null),
});

const telescope = z.strictObject({
  link: z.enum(LINK_NAMES).default("practice"),
  frames: frames.prefault({}),
  practice: practice.prefault({}),
  /** Needed by the link of that name. */
  folder: folderSection.optional(),
  hook: hookSection.prefault({}),
  /** Needed by the link of that name. */
  device: deviceSection.optional(),
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

/** Each key by itself; `soundConfig` looks at what they say together. */
export const configSchema = z.strictObject({
  observatory: observatorySchema,
  /** Names of the tiers, the first runs first. */
  tiers: z.array(identifier).min(1).default(["staff", "class", "guests"]),
  /** Tier of what instructors and operators ask for. */
  staffTier: z.string().default("staff"),
  classes: z.array(teachingClass).min(1),
  targets: targetsSection.prefault({}),
  queue: queue.prefault({}),
  notices: notices.prefault({}),
  telescope: telescope.prefault({}),
  forecast: forecast.prefault({}),
  discord: discordSection(identifier).prefault({}),
  room: room.prefault({}),
  /** A PostgreSQL database for the journal, as postgres://user@host/database; null: in the data folder. */
  store: shown(1_000).nullable().default(null),
  /** Where the frames are kept, and the journal unless it is in a database; relative to the working directory. */
  dataFolder: shown(1_000).default("data"),
  /** Personal data older than this is removed. */
  keepDays: z.number().int().min(1).max(3660).default(400),
});

export type Config = z.output<typeof configSchema>;
export type TeachingClass = Config["classes"][number];
