/** The mount: time and site, parking, slews that are checked, tracking. */
import {
  DEGREES_PER_RADIAN,
  type Degrees,
  HOUR,
  type Millis,
  SECOND,
  type UtcMillis,
} from "../../../base/units.js";
import type { DeviceConfig } from "../../../config/device-section.js";
import { shorterTurnDegrees } from "../../../observatory/axis.js";
import { hourPlaceOf, whyNotThere } from "../../../observatory/may-point.js";
import type { Observatory } from "../../../observatory/observatory.js";
import { horizontalFrom } from "../../../observatory/pointing.js";
import type { EquatorialPlace } from "../../../sky/place-at.js";
import type { HorizontalPlace } from "../../../sky/track.js";
import { Fault, NotNow } from "../fault.js";
import type { Hands } from "../hands.js";
import type { Line } from "../line/line.js";
import type { Properties } from "../line/properties.js";
import type { Enclosure } from "./enclosure.js";

/** Right ascension and declination of date, as the protocol has them. */
const COORDINATES = "EQUATORIAL_EOD_COORD";
/** As near as a mount keeps its site; some round it to an arc minute. */
const SITE_TOLERANCE: Degrees = 0.02;
const HOURS_PER_RADIAN = DEGREES_PER_RADIAN / 15;

const TOLD_FOR: Millis = HOUR;

export class Mount {
  /** Properties that it is read by. */
  readonly keys = [COORDINATES, "TELESCOPE_PARK"];
  readonly wanted = [...this.keys, "ON_COORD_SET", "TELESCOPE_ABORT_MOTION", "TIME_UTC", "GEOGRAPHIC_COORD"];

  private toldUnixMs: UtcMillis = Number.NEGATIVE_INFINITY;

  constructor(
    readonly name: string,
    private readonly config: DeviceConfig,
    private readonly observatory: Observatory,
    private readonly enclosure: Enclosure,
  ) {}

  isParked(properties: Properties): boolean {
    return (
      properties.isOn(this.name, "TELESCOPE_PARK", "PARK") && !this.isUnsettled(properties, "TELESCOPE_PARK")
    );
  }

  isMoving(properties: Properties): boolean {
    return [COORDINATES, "TELESCOPE_PARK"].some((each) => properties.state(this.name, each) === "Busy");
  }

  isTracking(properties: Properties): boolean {
    return properties.isOn(this.name, "TELESCOPE_TRACK_STATE", "TRACK_ON");
  }

  /** Where it looks, true altitude and azimuth; null while that is not known. */
  looksAt(properties: Properties, unixMs: UtcMillis): HorizontalPlace | null {
    const place = this.place(properties);
    if (Number.isNaN(place.rightAscensionRadians + place.declinationRadians)) return null;
    return horizontalFrom(hourPlaceOf(place, unixMs, this.observatory), this.observatory.site);
  }

  /** Which side of the pier the tube is on: true for the one that looks east; undefined when it does not say. */
  looksEast(properties: Properties): boolean | undefined {
    const known = properties.get(this.name, "TELESCOPE_PIER_SIDE");
    return known ? known.values.get("PIER_WEST") === "On" : undefined;
  }

  /** Tells it the time and where it stands, where it wants to know: every hour, and when it has forgotten. */
  async setUp(hands: Hands): Promise<void> {
    const { properties } = hands.line;
    const { latitudeDegrees, longitudeDegrees, elevationMetres } = this.observatory.site;
    if (hands.clock.now() - this.toldUnixMs < TOLD_FOR && this.knowsSite(properties)) return;
    if (properties.get(this.name, "TIME_UTC")) {
      const UTC = new Date(hands.clock.now()).toISOString().slice(0, 19);
      await this.switched(
        hands,
        "TIME_UTC",
        { UTC, OFFSET: "0" },
        "the mount did not take the time",
        () => true,
      );
    }
    this.toldUnixMs = hands.clock.now();
    if (!properties.get(this.name, "GEOGRAPHIC_COORD")) return;
    await this.switched(
      hands,
      "GEOGRAPHIC_COORD",
      { LAT: latitudeDegrees, LONG: (longitudeDegrees + 360) % 360, ELEV: elevationMetres },
      "the mount did not take the place of the observatory",
      () => this.knowsSite(properties),
    );
  }

  async unpark(hands: Hands): Promise<void> {
    const { properties } = hands.line;
    if (!properties.isOn(this.name, "TELESCOPE_PARK", "PARK")) return;
    await this.switched(hands, "TELESCOPE_PARK", { UNPARK: "On" }, "the mount did not unpark", () =>
      properties.isOn(this.name, "TELESCOPE_PARK", "UNPARK"),
    );
  }

  async park(hands: Hands): Promise<void> {
    const { properties } = hands.line;
    if (this.isParked(properties)) return;
    await hands.reach({
      device: this.name,
      property: "TELESCOPE_PARK",
      values: { PARK: "On" },
      orElse: "the mount did not park",
      limitMs: this.config.limitSeconds.park * SECOND,
      isDone: () => properties.isOn(this.name, "TELESCOPE_PARK", "PARK"),
    });
  }

  /**
   * Points at a place of date and tracks it.
   * @param bright whether the target may be observed in brighter twilight
   * @throws {NotNow} when a limit forbids it at this instant
   * @throws {Fault} when it may not move, or does not arrive
   */
  async slew(hands: Hands, place: EquatorialPlace, bright: boolean): Promise<void> {
    const { properties } = hands.line;
    await this.switched(hands, "ON_COORD_SET", { TRACK: "On" }, "the mount would not track", () =>
      properties.isOn(this.name, "ON_COORD_SET", "TRACK"),
    );
    const why = whyNotThere(place, hands.clock.now(), this.observatory, bright);
    if (why !== null) throw new NotNow(why);
    if (!this.enclosure.isOpen(properties))
      throw new Fault(`the mount is not moved: ${this.enclosure.calledWhenShut}`);
    if (properties.isOn(this.name, "TELESCOPE_PARK", "PARK")) throw new Fault("the mount is still parked");
    await hands.reach({
      device: this.name,
      property: COORDINATES,
      values: {
        RA: place.rightAscensionRadians * HOURS_PER_RADIAN,
        DEC: place.declinationRadians * DEGREES_PER_RADIAN,
      },
      orElse: "the mount did not arrive where it was sent",
      limitMs: this.config.limitSeconds.slew * SECOND,
      isDone: () => this.distance(properties, place) <= this.config.slewToleranceDegrees,
    });
  }

  /** @throws {Fault} when it has left a place that it was sent to, or does not track */
  checkStays(properties: Properties, place: EquatorialPlace): void {
    const away = this.distance(properties, place);
    const state = properties.state(this.name, COORDINATES);
    if (state === "Alert") throw new Fault("the mount reports a fault");
    if (state === "Busy" || !(away <= 2 * this.config.slewToleranceDegrees))
      throw new Fault(`the mount has moved away from its target by ${away.toFixed(2)}°`);
    if (properties.get(this.name, "TELESCOPE_TRACK_STATE") && !this.isTracking(properties))
      throw new Fault("the mount has stopped tracking");
  }

  stopTracking(hands: Hands): void {
    hands.order(this.name, "TELESCOPE_TRACK_STATE", { TRACK_OFF: "On" });
  }

  /** Allowed at any time: it only ever stops. */
  stop(line: Line): void {
    line.order(this.name, "TELESCOPE_ABORT_MOTION", { ABORT: "On" });
  }

  /** As it says itself, of date; NaN while that is not known. */
  private place(properties: Properties): EquatorialPlace {
    return {
      rightAscensionRadians: properties.number(this.name, COORDINATES, "RA") / HOURS_PER_RADIAN,
      declinationRadians: properties.number(this.name, COORDINATES, "DEC") / DEGREES_PER_RADIAN,
    };
  }

  /** From a place to where it stands, degrees; NaN while that is not known. */
  private distance(properties: Properties, place: EquatorialPlace): Degrees {
    const { rightAscensionRadians, declinationRadians } = this.place(properties);
    const cosine =
      Math.sin(declinationRadians) * Math.sin(place.declinationRadians) +
      Math.cos(declinationRadians) *
        Math.cos(place.declinationRadians) *
        Math.cos(rightAscensionRadians - place.rightAscensionRadians);
    return Math.acos(Math.max(-1, Math.min(1, cosine))) * DEGREES_PER_RADIAN;
  }

  private knowsSite(properties: Properties): boolean {
    const { latitudeDegrees, longitudeDegrees } = this.observatory.site;
    const known = (element: string): Degrees => properties.number(this.name, "GEOGRAPHIC_COORD", element);
    return (
      Math.abs(known("LAT") - latitudeDegrees) < SITE_TOLERANCE &&
      shorterTurnDegrees(known("LONG"), longitudeDegrees) < SITE_TOLERANCE
    );
  }

  private isUnsettled(properties: Properties, property: string): boolean {
    const state = properties.state(this.name, property);
    return state === "Busy" || state === "Alert";
  }

  private switched(
    hands: Hands,
    property: string,
    values: Readonly<Record<string, string | number>>,
    orElse: string,
    isDone: () => boolean,
  ): Promise<void> {
    const limitMs = this.config.limitSeconds.answer * SECOND;
    return hands.reach({ device: this.name, property, values, orElse, limitMs, isDone, restIsEnough: true });
  }
}
