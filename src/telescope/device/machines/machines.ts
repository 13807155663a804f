/** All machines of one observatory together: found, read anew, set up, stopped, parked and shut. */
import { SECOND } from "../../../base/units.js";
import type { DeviceConfig } from "../../../config/device-section.js";
import type { Observatory } from "../../../observatory/observatory.js";
import type { Hands } from "../hands.js";
import type { Line } from "../line/line.js";
import type { Properties } from "../line/properties.js";
import { Camera } from "./camera.js";
import { type Enclosure, enclosureOf } from "./enclosure.js";
import { Mount } from "./mount.js";
import { WEATHER_KEYS, WEATHER_WANTED } from "./weather.js";
import { Wheel } from "./wheel.js";

/** A device by its part, and the properties that it has to have. */
export interface Part {
  readonly part: "mount" | "camera" | "filter wheel" | "dome" | "roof" | "weather station";
  readonly name: string;
  /** Asked for to learn its state. */
  readonly keys: readonly string[];
  /** Needed for the work. */
  readonly wanted: readonly string[];
}

const CONNECTION = "CONNECTION";
/** A driver may have to look for its hardware. */
const CONNECT_SECONDS = 60;

export class Machines {
  readonly enclosure: Enclosure;
  readonly mount: Mount;
  readonly camera: Camera;
  /** null: one filter. */
  readonly wheel: Wheel | null;
  readonly parts: readonly Part[];

  constructor(
    private readonly config: DeviceConfig,
    observatory: Observatory,
  ) {
    const { enclosure, wheel, weather } = config;
    this.enclosure = enclosureOf(config);
    this.mount = new Mount(config.mount, config, observatory, this.enclosure);
    this.camera = new Camera(config.camera, config);
    this.wheel = wheel === null ? null : new Wheel(wheel, config, observatory.camera.filters);
    this.parts = [
      { part: "mount", ...this.mount },
      ...(enclosure ? [{ part: enclosure.kind, ...this.enclosure, name: enclosure.name }] : []),
      { part: "camera", ...this.camera },
      ...(this.wheel ? [{ part: "filter wheel" as const, ...this.wheel }] : []),
      ...(weather === null
        ? []
        : [{ part: "weather station" as const, name: weather, keys: WEATHER_KEYS, wanted: WEATHER_WANTED }]),
    ];
  }

  /**
   * Makes sure of every device: there, connected, its state read anew, at rest, and told what it has to know.
   * @throws {Fault} naming the device that is not so
   */
  async bringUp(hands: Hands): Promise<void> {
    await this.find(hands, this.parts);
    await this.mount.setUp(hands);
    await this.wheel?.setUp(hands);
  }

  /** Whether every device has said how it stands. */
  isKnown(properties: Properties): boolean {
    return this.parts.every(({ name, keys }) => keys.every((key) => properties.get(name, key)));
  }

  isMoving(properties: Properties): boolean {
    return this.mount.isMoving(properties) || this.enclosure.isMoving(properties);
  }

  /** Parked, and shut over it. */
  isPutAway(properties: Properties): boolean {
    return this.mount.isParked(properties) && this.enclosure.isShut(properties);
  }

  /** Stops every motion and the exposure, and waits until all rest. Allowed at any time. */
  async stop(line: Line): Promise<void> {
    const { camera, config } = this;
    if (camera.isExposing(line.properties)) camera.stop(line);
    this.stopMotion(line);
    await line.until(
      () => (this.isMoving(line.properties) || camera.isExposing(line.properties) ? null : true),
      config.limitSeconds.answer * SECOND,
      "not everything came to rest",
    );
  }

  /** Unparked, and nothing over it: a dome opens meanwhile, a roof before the mount under it is unparked. */
  async wake(hands: Hands): Promise<void> {
    const { mount, enclosure, config } = this;
    if (config.enclosure?.kind === "roof") await enclosure.open(hands);
    await Promise.all([mount.unpark(hands), enclosure.open(hands)]);
  }

  /**
   * Ends an exposure, parks the mount and shuts what stands over it: a dome at once, a roof only over the parked mount.
   * Needs no other device than those two.
   * @throws {Fault} when either did not work; the other has been tried all the same
   */
  async putAway(hands: Hands): Promise<void> {
    const { mount, enclosure, camera } = this;
    const { properties } = hands.line;
    await this.find(
      hands,
      this.parts.filter(({ name }) => name === mount.name || name === enclosure.name),
    );
    if (camera.isExposing(properties)) camera.stop(hands.line);
    const isMountParked = (): boolean => mount.isParked(properties);
    if (this.config.enclosure?.kind === "roof") {
      await mount.park(hands);
      await enclosure.shut(hands, isMountParked);
      return;
    }
    const both = await Promise.allSettled([mount.park(hands), enclosure.shut(hands, isMountParked)]);
    for (const each of both) if (each.status === "rejected") throw each.reason;
  }

  /** Stops what moves, not an exposure. Allowed at any time. */
  stopMotion(line: Line): void {
    this.mount.stop(line);
    this.enclosure.stop(line);
  }

  private async find(hands: Hands, parts: readonly Part[]): Promise<void> {
    await Promise.all(parts.map((each) => this.connect(hands, each)));
    await Promise.all(parts.map((each) => this.readAnew(hands, each)));
    const { properties } = hands.line;
    if (this.isMoving(properties)) this.stopMotion(hands.line);
    await hands.until(
      () => (this.isMoving(properties) ? null : true),
      this.config.limitSeconds.answer * SECOND,
      "what was moving did not come to rest",
    );
  }

  private async connect(hands: Hands, { part, name }: Part): Promise<void> {
    const { properties } = hands.line;
    const answerMs = this.config.limitSeconds.answer * SECOND;
    await hands.until(
      () => (properties.get(name, CONNECTION) ? true : null),
      answerMs,
      `the ${part} ("${name}") did not appear at the devices' server`,
    );
    if (properties.isOn(name, CONNECTION, "CONNECT")) return;
    await hands.reach({
      ...{ device: name, property: CONNECTION, values: { CONNECT: "On" }, restIsEnough: true },
      orElse: `the ${part} ("${name}") could not be connected`,
      limitMs: CONNECT_SECONDS * SECOND,
      isDone: () => properties.isOn(name, CONNECTION, "CONNECT"),
    });
  }

  /** A device that hangs does not answer. */
  private async readAnew(hands: Hands, { part, name, keys }: Part): Promise<void> {
    const { properties } = hands.line;
    const before = properties.order;
    hands.line.askDevice(name);
    await hands.until(
      () => (keys.every((key) => (properties.get(name, key)?.order ?? 0) > before) ? true : null),
      this.config.limitSeconds.answer * SECOND,
      `the ${part} ("${name}") did not say how it stands`,
    );
  }
}
