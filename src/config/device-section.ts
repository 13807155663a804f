/** `telescope.device`: machines that are driven over the INDI protocol, by the names that their drivers go by. */
import { z } from "zod";
import { shown } from "../observatory/observatory-schema.js";

const name = shown(64);
/** How long something may take before it is taken to have failed. */
const within = (seconds: number) => z.number().min(1).max(3600).default(seconds);

export const deviceSection = z.strictObject({
  /** Of the server of the devices' drivers; its traffic is neither encrypted nor asked for a password. */
  host: z.string().min(1).max(253).default("127.0.0.1"),
  port: z.number().int().min(1).max(65535).default(7624),
  mount: name,
  camera: name,
  /** null: no filter wheel, one filter. */
  wheel: name.nullable().default(null),
  /** null: nobody watches the weather but the site's own devices. */
  weather: name.nullable().default(null),
  /** What stands over the telescope: a dome with a slit and a shutter, a roof that rolls off, or null for nothing. */
  enclosure: z
    .strictObject({ kind: z.enum(["dome", "roof"]), name })
    .nullable()
    .default(null),
  /** The mount has arrived when it is so near. */
  slewToleranceDegrees: z.number().min(0.01).max(2).default(0.1),
  domeToleranceDegrees: z.number().min(0.1).max(20).default(2),
  limitSeconds: z
    .strictObject({
      /** To take an order, or to say what it is like. */
      answer: within(15),
      slew: within(240),
      park: within(300),
      domeTurn: within(240),
      shutter: within(240),
      filter: within(90),
      /** From the end of an exposure until its frame is here. */
      readOut: within(120),
      cooling: within(900),
    })
    .prefault({}),
  /** A weather report that is older counts as bad weather. */
  weatherOldSeconds: z.number().min(10).max(3600).default(180),
  /** Good weather must have lasted so long before the dome opens again. */
  weatherGoodSeconds: z.number().min(0).max(7200).default(900),
  /** After a longer break of the line the telescope is parked and shut as soon as it can be reached. */
  lineLossSeconds: z.number().min(5).max(3600).default(120),
  /** The sensor's set-point, °C; null: left alone. */
  coolToCelsius: z.number().min(-120).max(40).nullable().default(null),
  /** null: left alone. */
  gain: z.number().min(0).max(10_000).nullable().default(null),
  /** Pixels joined in both directions; `observatory.camera` describes the joined ones. */
  binning: z.number().int().min(1).max(16).default(1),
});

export type DeviceConfig = z.output<typeof deviceSection>;
