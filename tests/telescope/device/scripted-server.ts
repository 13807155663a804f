/** A devices' server in this process: five devices that move on a clock, and that a test can have misbehave. */
import type { Clock } from "../../../src/base/clock.js";
import { SECOND } from "../../../src/base/units.js";
import { type DeviceConfig, deviceSection } from "../../../src/config/device-section.js";
import type { OpensWire, WireEnd } from "../../../src/telescope/device/line/wire.js";
import { encodeFits } from "../../../src/telescope/frames/fits.js";

export const deviceConfig: DeviceConfig = deviceSection.parse({
  ...{ mount: "Mount", camera: "Camera", wheel: "Wheel", weather: "Weather" },
  enclosure: { kind: "dome", name: "Dome" },
});

type Kind = "Number" | "Switch" | "Text" | "Light";
interface Vector {
  readonly kind: Kind;
  state: string;
  values: Record<string, string>;
}
type Given = Readonly<Record<string, string>>;

/** What one device is like when its driver has just been started. */
const FRESH: Readonly<Record<string, Readonly<Record<string, readonly [Kind, Given, string?]>>>> = {
  Mount: {
    EQUATORIAL_EOD_COORD: ["Number", { RA: "0", DEC: "90" }],
    ON_COORD_SET: ["Switch", { TRACK: "Off", SLEW: "On" }],
    TELESCOPE_PARK: ["Switch", { PARK: "On", UNPARK: "Off" }, "Ok"],
    TELESCOPE_TRACK_STATE: ["Switch", { TRACK_ON: "Off", TRACK_OFF: "On" }],
    TELESCOPE_ABORT_MOTION: ["Switch", { ABORT: "Off" }],
    TIME_UTC: ["Text", { UTC: "", OFFSET: "" }],
    GEOGRAPHIC_COORD: ["Number", { LAT: "0", LONG: "0", ELEV: "0" }],
  },
  Dome: {
    DOME_SHUTTER: ["Switch", { SHUTTER_OPEN: "Off", SHUTTER_CLOSE: "On" }, "Ok"],
    ABS_DOME_POSITION: ["Number", { DOME_ABSOLUTE_POSITION: "90" }],
    DOME_PARK: ["Switch", { PARK: "On", UNPARK: "Off" }, "Ok"],
    DOME_ABORT_MOTION: ["Switch", { ABORT: "Off" }],
  },
  Camera: {
    CCD_EXPOSURE: ["Number", { CCD_EXPOSURE_VALUE: "0" }],
    CCD_ABORT_EXPOSURE: ["Switch", { ABORT: "Off" }],
    CCD1: ["Text", {}],
    FITS_HEADER: ["Text", { FITS_OBJECT: "Unknown", FITS_OBSERVER: "Unknown" }],
    CCD_FRAME_TYPE: ["Switch", { FRAME_LIGHT: "Off", FRAME_DARK: "On" }],
    CCD_BINNING: ["Number", { HOR_BIN: "2", VER_BIN: "2" }],
    CCD_GAIN: ["Number", { GAIN: "90" }],
    CCD_TEMPERATURE: ["Number", { CCD_TEMPERATURE_VALUE: "20" }],
    ACTIVE_DEVICES: ["Text", { ACTIVE_TELESCOPE: "", ACTIVE_FILTER: "Camera" }],
  },
  Wheel: {
    FILTER_SLOT: ["Number", { FILTER_SLOT_VALUE: "1" }, "Ok"],
    FILTER_NAME: ["Text", { NAME_1: "a", NAME_2: "b", NAME_3: "c", NAME_4: "d", NAME_5: "e" }],
  },
  Weather: {
    WEATHER_STATUS: ["Light", { WEATHER_WIND_SPEED: "Ok", WEATHER_RAIN_HOUR: "Ok" }, "Ok"],
    WEATHER_PARAMETERS: ["Number", { WEATHER_WIND_SPEED: "3" }, "Ok"],
  },
};

/** How long each order takes. */
const TAKES: Readonly<Record<string, number>> = {
  EQUATORIAL_EOD_COORD: 20 * SECOND,
  TELESCOPE_PARK: 12 * SECOND,
  ABS_DOME_POSITION: 9 * SECOND,
  DOME_SHUTTER: 6 * SECOND,
  DOME_PARK: 6 * SECOND,
  FILTER_SLOT: 3 * SECOND,
  CCD_TEMPERATURE: 30 * SECOND,
};
const READ_OUT = 4 * SECOND;

export class ScriptedServer {
  /** Every order that came, in order: "Mount TELESCOPE_PARK UNPARK=On". */
  readonly orders: string[] = [];
  /** Devices that hear nothing and say nothing. */
  readonly hung = new Set<string>();
  /** Nobody can connect. */
  refuses = false;
  /** What becomes of an order in the place of what should: return true when it has been dealt with. */
  instead: (device: string, name: string, given: Given) => boolean = () => false;
  /** Changes what is sent. */
  alter: (text: string) => string = (text) => text;
  /** Seconds that a frame's header says beside those that were asked for. */
  headerSeconds: number | null = null;
  private readonly devices = new Map<string, Map<string, Vector>>();
  private readonly ends = new Map<WireEnd, { blobs: boolean }>();
  private motions: (() => void)[] = [];
  private exposure: (() => void) | null = null;

  constructor(readonly clock: Clock) {
    for (const device of Object.keys(FRESH)) this.start(device);
    this.refreshWeather();
  }

  readonly open: OpensWire = async (end) => {
    if (this.refuses) throw new Error("ECONNREFUSED");
    this.ends.set(end, { blobs: false });
    return {
      send: (text) => queueMicrotask(() => this.hear(end, text)),
      close: () => void this.ends.delete(end),
    };
  };

  vector(device: string, name: string): Vector {
    return this.devices.get(device)?.get(name) as Vector;
  }

  /** The line breaks; what moves moves on. */
  cut(): void {
    const ends = [...this.ends.keys()];
    this.ends.clear();
    for (const end of ends) end.cut();
  }

  /** A driver dies and is started again: it has forgotten everything, and is not connected. */
  restart(device: string): void {
    this.tell(`<delProperty device='${device}'/>`);
    if (device === "Camera") {
      this.exposure?.();
      this.exposure = null;
    }
    this.start(device);
    this.vector(device, "CONNECTION").values = { CONNECT: "Off", DISCONNECT: "On" };
    for (const name of this.devices.get(device)?.keys() ?? []) this.say("def", device, name);
  }

  /** A driver dies for good. */
  kill(device: string): void {
    this.devices.delete(device);
    this.tell(`<delProperty device='${device}'/>`);
  }

  set(device: string, name: string, values: Given, state = "Ok"): void {
    const vector = this.vector(device, name);
    vector.state = state;
    vector.values = { ...vector.values, ...values };
    this.say("set", device, name);
  }

  tell(text: string): void {
    for (const end of this.ends.keys()) queueMicrotask(() => end.heard(this.alter(text)));
  }

  private start(device: string): void {
    const vectors = Object.entries(FRESH[device] ?? {}).map(
      ([name, [kind, values, state = "Idle"]]) => [name, { kind, state, values: { ...values } }] as const,
    );
    const connection: Vector = { kind: "Switch", state: "Ok", values: { CONNECT: "On", DISCONNECT: "Off" } };
    this.devices.set(device, new Map([["CONNECTION", connection], ...vectors]));
  }

  /** Every minute, as a station does. */
  private refreshWeather(): void {
    if (this.devices.has("Weather") && !this.hung.has("Weather"))
      this.say("set", "Weather", "WEATHER_PARAMETERS");
    this.clock.at(this.clock.now() + 60 * SECOND, () => this.refreshWeather());
  }

  private hear(end: WireEnd, text: string): void {
    const known = this.ends.get(end);
    if (!known) return;
    if (/<enableBLOB/.test(text)) known.blobs = true;
    for (const [, device] of text.matchAll(/<getProperties version='1.7'(?: device='([^']*)')?/g))
      for (const each of device === undefined ? this.devices.keys() : [device])
        if (!this.hung.has(each))
          for (const name of this.devices.get(each)?.keys() ?? []) this.say("def", each, name, end);
    for (const [, device = "", name = "", body = ""] of text.matchAll(
      /<new\w+Vector device='([^']*)' name='([^']*)'>(.*?)<\/new/g,
    )) {
      const pairs = [...body.matchAll(/name='([^']*)'>([^<]*)</g)].map(([, key, value]) => [key, value]);
      if (!this.hung.has(device)) this.order(device, name, Object.fromEntries(pairs));
    }
  }

  private order(device: string, name: string, given: Given): void {
    const said = Object.entries(given).map(([key, value]) => `${key}=${value}`);
    this.orders.push(`${device} ${name} ${said.join(" ")}`);
    if (!this.devices.has(device) || this.instead(device, name, given)) return;
    if (name === "CCD_EXPOSURE") this.expose(Number(given.CCD_EXPOSURE_VALUE));
    else if (name === "CCD_ABORT_EXPOSURE") this.abortExposure();
    else if (/ABORT_MOTION$/.test(name)) this.abortMotion(device);
    else this.change(device, name, given);
  }

  private change(device: string, name: string, given: Given): void {
    const vector = this.vector(device, name);
    const values = vector.kind === "Switch" ? onlyOn(vector, given) : given;
    const takes = TAKES[name];
    if (takes === undefined) {
      this.set(device, name, values);
      return;
    }
    // A number shows where it is; a switch shows at once what it is to be.
    if (this.vector(device, name).kind === "Number") this.set(device, name, {}, "Busy");
    else this.set(device, name, values, "Busy");
    this.motions.push(
      this.clock.at(this.clock.now() + takes, () => {
        this.set(device, name, values);
        if (name === "EQUATORIAL_EOD_COORD")
          this.set(device, "TELESCOPE_TRACK_STATE", { TRACK_ON: "On", TRACK_OFF: "Off" });
      }),
    );
  }

  private abortMotion(device: string): void {
    for (const callOff of this.motions.splice(0)) callOff();
    for (const [name, { state }] of this.devices.get(device) ?? [])
      if (state === "Busy") this.set(device, name, {}, /COORD|POSITION/.test(name) ? "Ok" : "Idle");
  }

  private abortExposure(): void {
    this.exposure?.();
    this.exposure = null;
    this.set("Camera", "CCD_EXPOSURE", { CCD_EXPOSURE_VALUE: "0" }, "Idle");
  }

  private expose(seconds: number): void {
    this.exposure?.();
    const { FITS_OBJECT: object = "" } = this.vector("Camera", "FITS_HEADER").values;
    this.set("Camera", "CCD_EXPOSURE", { CCD_EXPOSURE_VALUE: String(seconds) }, "Busy");
    const endUnixMs = this.clock.now() + seconds * SECOND + READ_OUT;
    this.exposure = this.clock.at(endUnixMs, () => {
      this.exposure = null;
      this.sendFrame(object, this.headerSeconds ?? seconds);
      this.set("Camera", "CCD_EXPOSURE", { CCD_EXPOSURE_VALUE: "0" });
    });
  }

  sendFrame(object: string, seconds: number): void {
    if (this.hung.has("Camera")) return;
    const image = { width: 16, height: 16, pixels: new Uint16Array(256).fill(1000) };
    const fits = encodeFits(image, [
      { keyword: "OBJECT", value: object },
      { keyword: "EXPTIME", value: seconds },
    ]);
    const text =
      `<setBLOBVector device='Camera' name='CCD1' state='Ok'><oneBLOB name='CCD1' size='${fits.length}' format='.fits'>\n` +
      `${fits.toString("base64").replace(/(.{72})/g, "$1\n")}\n</oneBLOB></setBLOBVector>`;
    for (const [end, { blobs }] of this.ends) if (blobs) queueMicrotask(() => end.heard(this.alter(text)));
  }

  private say(word: "def" | "set", device: string, name: string, to?: WireEnd): void {
    const { kind, state, values } = this.vector(device, name);
    const element = `${word === "def" ? "def" : "one"}${kind}`;
    const inside = Object.entries(values).map(
      ([key, value]) => `<${element} name='${key}'>\n${value}\n</${element}>`,
    );
    const text = `<${word}${kind}Vector device='${device}' name='${name}' state='${state}'>${inside.join("")}</${word}${kind}Vector>\n`;
    if (to) queueMicrotask(() => to.heard(this.alter(text)));
    else if (!this.hung.has(device)) this.tell(text);
  }
}

/** One of a row of switches is on. */
function onlyOn({ values }: Vector, given: Given): Given {
  return { ...Object.fromEntries(Object.keys(values).map((key) => [key, "Off"])), ...given };
}
