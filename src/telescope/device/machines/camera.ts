/** The camera: set-up, exposures, and the frames that come of them. */
import { type Millis, SECOND, type Seconds, type UtcMillis } from "../../../base/units.js";
import type { DeviceConfig } from "../../../config/device-section.js";
import { ByteReader } from "../../frames/byte-reader.js";
import { asciiText, type Card, cardValue } from "../../frames/fits-cards.js";
import { findImage } from "../../frames/fits-headers.js";
import { Fault } from "../fault.js";
import type { Hands } from "../hands.js";
import type { Line } from "../line/line.js";
import type { Blob } from "../line/messages.js";
import type { Properties } from "../line/properties.js";

const EXPOSURE = "CCD_EXPOSURE";
const SECONDS_LEFT = "CCD_EXPOSURE_VALUE";
const FRAME = "CCD1";
const HEADER = "FITS_HEADER";
const TEMPERATURE = "CCD_TEMPERATURE";
/** The sensor is cold enough when it is so near, °C. */
const COOL_TOLERANCE = 1;
/** A FITS header has room for so many characters of text. */
const LONGEST_TEXT = 68;

/** What an exposure is of. */
export interface Shot {
  readonly seconds: Seconds;
  /** As the header will say. */
  readonly object: string;
  /** Who it is for, without a student's name: the class. */
  readonly observer: string;
}

/** A frame that has come. */
export interface Taken {
  readonly bytes: Buffer;
  readonly startUnixMs: UtcMillis;
}

interface Pending {
  readonly shot: Shot;
  readonly startUnixMs: UtcMillis;
  /** Of the last message before the order. */
  readonly sinceOrder: number;
}

export class Camera {
  readonly keys = [EXPOSURE];
  readonly wanted = [EXPOSURE, "CCD_ABORT_EXPOSURE", FRAME];
  /** An exposure whose frame may still come. */
  private pending: Pending | null = null;
  private arrived: { readonly blob: Blob; readonly order: number } | null = null;

  constructor(
    readonly name: string,
    private readonly config: DeviceConfig,
  ) {}

  /** A file has come from some device. */
  onBlob(blob: Blob, order: number): void {
    if (blob.device === this.name && blob.property === FRAME) this.arrived = { blob, order };
  }

  isExposing(properties: Properties): boolean {
    return properties.state(this.name, EXPOSURE) === "Busy";
  }

  /** Everything that a restarted driver has forgotten. */
  async setUp(hands: Hands): Promise<void> {
    const { mount, wheel, binning, gain, coolToCelsius, limitSeconds } = this.config;
    const { properties } = hands.line;
    hands.line.wantBlobs(this.name);
    await this.set(hands, "CCD_FRAME_TYPE", { FRAME_LIGHT: "On" });
    await this.set(hands, "UPLOAD_MODE", { UPLOAD_CLIENT: "On" });
    await this.set(hands, "CCD_TRANSFER_FORMAT", { FORMAT_FITS: "On" });
    await this.set(hands, "CCD_COMPRESSION", { INDI_DISABLED: "On" });
    await this.set(hands, "ACTIVE_DEVICES", {
      ACTIVE_TELESCOPE: mount,
      ...(wheel ? { ACTIVE_FILTER: wheel } : {}),
    });
    // What the wheel says from now on is heard by the camera too: the filters' names go into its headers.
    if (wheel !== null) hands.line.askDevice(wheel);
    await this.set(hands, "CCD_BINNING", { HOR_BIN: binning, VER_BIN: binning });
    if (gain !== null)
      await (properties.get(this.name, "CCD_GAIN")
        ? this.set(hands, "CCD_GAIN", { GAIN: gain })
        : this.set(hands, "CCD_CONTROLS", { Gain: gain }));
    if (coolToCelsius === null) return;
    await hands.reach({
      device: this.name,
      property: TEMPERATURE,
      values: { CCD_TEMPERATURE_VALUE: coolToCelsius },
      orElse: `the sensor did not reach ${coolToCelsius} °C`,
      limitMs: limitSeconds.cooling * SECOND,
      isDone: () =>
        Math.abs(properties.number(this.name, TEMPERATURE, "CCD_TEMPERATURE_VALUE") - coolToCelsius) <=
        COOL_TOLERANCE,
    });
  }

  /**
   * Begins an exposure; a frame of an earlier one is not expected any more.
   * @returns when it began
   * @throws {Fault} when something is being exposed already: a second order would replace it without a word
   */
  async expose(hands: Hands, shot: Shot): Promise<UtcMillis> {
    const { properties } = hands.line;
    if (this.isExposing(properties)) throw new Fault("the camera is exposing something else");
    const object = headerText(shot.object);
    const titled = { FITS_OBJECT: object, FITS_OBSERVER: headerText(shot.observer) };
    if (properties.get(this.name, HEADER))
      await this.set(
        hands,
        HEADER,
        titled,
        () => properties.get(this.name, HEADER)?.values.get("FITS_OBJECT") === object,
      );
    hands.check();
    const sinceOrder = properties.order;
    this.arrived = null;
    this.pending = { shot, startUnixMs: hands.clock.now(), sinceOrder };
    hands.order(this.name, EXPOSURE, { [SECONDS_LEFT]: shot.seconds });
    const startUnixMs = await hands.until(
      () => this.begun(properties, sinceOrder),
      this.config.limitSeconds.answer * SECOND,
      "the camera did not begin to expose",
    );
    this.pending = { shot, startUnixMs, sinceOrder };
    return startUnixMs;
  }

  /**
   * Waits for the frame of the exposure that is under way.
   * @throws {Fault} when it is lost, when it does not come, or when another one comes in its place
   */
  async frame(hands: Hands): Promise<Taken> {
    const { pending } = this;
    const { properties } = hands.line;
    if (!pending) throw new Fault("no exposure is under way");
    const leftMs = Math.max(0, pending.startUnixMs + pending.shot.seconds * SECOND - hands.clock.now());
    const limitMs = leftMs + this.config.limitSeconds.readOut * SECOND;
    const blob = await hands.until(() => this.come(properties, pending), limitMs, "the camera sent no frame");
    this.arrived = null;
    const bytes = await checked(blob, pending.shot);
    this.pending = null;
    await hands.until(
      () => (this.isExposing(properties) ? null : true),
      this.config.limitSeconds.answer * SECOND,
      "the camera did not come to rest after its frame",
    );
    return { bytes, startUnixMs: pending.startUnixMs };
  }

  /**
   * What has become of an exposure that was under way when the line broke, or the program ended.
   * @param shot what was to be exposed next
   * @returns its frame; null when there is none to come
   * @throws {Fault} while something else is being exposed
   */
  async leftOver(hands: Hands, shot: Shot): Promise<Taken | null> {
    const { properties } = hands.line;
    const { pending } = this;
    if (pending && this.arrived && this.arrived.order > pending.sinceOrder) return this.frame(hands);
    if (!this.isExposing(properties)) {
      this.pending = null;
      return null;
    }
    if (pending) return this.frame(hands);
    const leftMs: Millis = (properties.number(this.name, EXPOSURE, SECONDS_LEFT) || 0) * SECOND;
    const startUnixMs = Math.round(hands.clock.now() + leftMs - shot.seconds * SECOND);
    this.pending = { shot, startUnixMs, sinceOrder: properties.order };
    return this.frame(hands);
  }

  /** Allowed at any time: the exposure ends, its frame is lost. */
  stop(line: Line): void {
    this.pending = null;
    line.order(this.name, "CCD_ABORT_EXPOSURE", { ABORT: "On" });
  }

  /** @throws {Fault} when it is refused; null: not yet */
  private begun(properties: Properties, sinceOrder: number): UtcMillis | null {
    const known = properties.get(this.name, EXPOSURE);
    if (!known) throw new Fault("the camera is gone");
    if (known.busyOrder > sinceOrder) return known.heardUnixMs;
    if (known.order > sinceOrder && known.state === "Alert") throw new Fault("the camera refused to expose");
    return null;
  }

  /** @throws {Fault} when it is lost; null: not yet */
  private come(properties: Properties, { sinceOrder }: Pending): Blob | null {
    if (this.arrived && this.arrived.order > sinceOrder) return this.arrived.blob;
    const known = properties.get(this.name, EXPOSURE);
    const lost = (why: string): never => {
      this.pending = null;
      throw new Fault(why);
    };
    if (!known) return lost("the camera is gone, and its exposure with it");
    if (known.order <= sinceOrder) return null;
    if (known.state === "Alert") return lost("the camera gave up its exposure");
    return known.state === "Idle" ? lost("the exposure was aborted at the camera") : null;
  }

  private async set(
    hands: Hands,
    property: string,
    values: Readonly<Record<string, string | number>>,
    isDone: () => boolean = () => true,
  ): Promise<void> {
    const known = hands.line.properties.get(this.name, property);
    if (!known) return;
    if (Object.entries(values).every(([element, value]) => sameValue(known.values.get(element), value)))
      return;
    await hands.reach({
      ...{ device: this.name, property, values, isDone, restIsEnough: true },
      orElse: `the camera did not take its settings (${property})`,
      limitMs: this.config.limitSeconds.answer * SECOND,
    });
  }
}

function sameValue(known: string | undefined, wanted: string | number): boolean {
  return typeof wanted === "number" ? Number(known) === wanted : known === wanted;
}

function headerText(text: string): string {
  return asciiText(text).slice(0, LONGEST_TEXT);
}

/** A frame's bytes, if they are a FITS file of this exposure as far as its header says. */
async function checked({ bytes, format }: Blob, { seconds, object }: Shot): Promise<Buffer> {
  const cards = await cardsOf(bytes, format);
  const exposed = cardValue(cards, "EXPTIME");
  if (typeof exposed === "number" && Math.abs(exposed - seconds) > Math.max(0.05, 0.02 * seconds))
    throw new Fault(`the camera sent a frame of ${exposed} s where ${seconds} s were asked for`);
  const named = cardValue(cards, "OBJECT");
  if (typeof named === "string" && named.trim() !== headerText(object).trim())
    throw new Fault(`the camera sent a frame of "${named.slice(0, 30)}" where "${object}" was asked for`);
  return bytes;
}

async function cardsOf(bytes: Buffer, format: string): Promise<readonly Card[]> {
  try {
    return (await findImage(await ByteReader.open({ bytes }))).cards;
  } catch {
    throw new Fault(`the camera sent a file (${format || "of no kind"}) that is no FITS image`);
  }
}
