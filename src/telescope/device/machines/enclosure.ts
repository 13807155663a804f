/** What stands over the telescope: a dome, a roof that rolls off, or the sky. */
import { type Degrees, SECOND } from "../../../base/units.js";
import type { DeviceConfig } from "../../../config/device-section.js";
import { shorterTurnDegrees } from "../../../observatory/axis.js";
import { Fault } from "../fault.js";
import type { Hands } from "../hands.js";
import type { Line } from "../line/line.js";
import type { Properties } from "../line/properties.js";

export interface Enclosure {
  /** null: there is none. */
  readonly name: string | null;
  /** Properties that it is read by. */
  readonly keys: readonly string[];
  readonly wanted: readonly string[];
  /** A clause: "the dome's shutter is not open". */
  readonly calledWhenShut: string;
  /** Fully, and at rest. */
  isOpen(properties: Properties): boolean;
  isShut(properties: Properties): boolean;
  isMoving(properties: Properties): boolean;
  open(hands: Hands): Promise<void>;
  /**
   * @param isMountParked asked at the last moment
   * @throws {Fault} when it cannot be shut over the mount as it stands
   */
  shut(hands: Hands, isMountParked: () => boolean): Promise<void>;
  /** Where the slit stands; null without one, or while that is not known. */
  slitAzimuthDegrees(properties: Properties): Degrees | null;
  /** From an azimuth to where the slit stands; null without a slit. */
  slitOffDegrees(properties: Properties, azimuthDegrees: Degrees): Degrees | null;
  /** Whether the slit stands within tolerance of an azimuth. */
  faces(properties: Properties, azimuthDegrees: Degrees): boolean;
  /** Turns the slit there and waits. */
  face(hands: Hands, azimuthDegrees: Degrees): Promise<void>;
  /** Has the slit turn there; the exposure goes on. */
  follow(hands: Hands, azimuthDegrees: Degrees): void;
  /** Allowed at any time: it only ever stops. */
  stop(line: Line): void;
}

export function enclosureOf(config: DeviceConfig): Enclosure {
  const { enclosure } = config;
  if (enclosure === null) return OPEN_AIR;
  return enclosure.kind === "dome" ? dome(enclosure.name, config) : roof(enclosure.name, config);
}

const OPEN_AIR: Enclosure = {
  name: null,
  keys: [],
  wanted: [],
  calledWhenShut: "",
  isOpen: () => true,
  isShut: () => true,
  isMoving: () => false,
  open: async () => {},
  shut: async () => {},
  slitAzimuthDegrees: () => null,
  slitOffDegrees: () => null,
  faces: () => true,
  face: async () => {},
  follow: () => {},
  stop: () => {},
};

const SHUTTER = "DOME_SHUTTER";
const AZIMUTH = "ABS_DOME_POSITION";
const PARK = "DOME_PARK";

function isSettled(properties: Properties, device: string, property: string): boolean {
  const state = properties.state(device, property);
  return state === "Ok" || state === "Idle";
}

function dome(name: string, { limitSeconds, domeToleranceDegrees }: DeviceConfig): Enclosure {
  const azimuthOf = (properties: Properties): Degrees =>
    properties.number(name, AZIMUTH, "DOME_ABSOLUTE_POSITION");
  const slitOffDegrees = (properties: Properties, azimuth: Degrees): Degrees =>
    shorterTurnDegrees(azimuthOf(properties), azimuth);
  const faces = (properties: Properties, azimuth: Degrees): boolean =>
    properties.state(name, AZIMUTH) !== "Busy" && slitOffDegrees(properties, azimuth) <= domeToleranceDegrees;
  const shutter = async (hands: Hands, element: string, orElse: string): Promise<void> => {
    const { properties } = hands.line;
    if (properties.isOn(name, SHUTTER, element) && isSettled(properties, name, SHUTTER)) return;
    await hands.reach({
      ...{ device: name, property: SHUTTER, values: { [element]: "On" }, orElse, restIsEnough: true },
      limitMs: limitSeconds.shutter * SECOND,
      isDone: () => properties.isOn(name, SHUTTER, element),
    });
  };
  return {
    name,
    keys: [SHUTTER, AZIMUTH],
    wanted: [SHUTTER, AZIMUTH, PARK, "DOME_ABORT_MOTION"],
    calledWhenShut: "the dome's shutter is not open",
    isOpen: (properties) =>
      properties.isOn(name, SHUTTER, "SHUTTER_OPEN") && isSettled(properties, name, SHUTTER),
    isShut: (properties) =>
      properties.isOn(name, SHUTTER, "SHUTTER_CLOSE") && isSettled(properties, name, SHUTTER),
    isMoving: (properties) =>
      [SHUTTER, AZIMUTH, PARK].some((each) => properties.state(name, each) === "Busy"),
    open: async (hands) => {
      await unpark(hands, name, limitSeconds.answer, "the dome did not unpark");
      await shutter(hands, "SHUTTER_OPEN", "the dome's shutter did not open");
    },
    shut: (hands) => shutter(hands, "SHUTTER_CLOSE", "the dome's shutter did not close"),
    slitAzimuthDegrees: (properties) => {
      const azimuth = azimuthOf(properties);
      return Number.isNaN(azimuth) ? null : azimuth;
    },
    slitOffDegrees,
    faces,
    face: async (hands, azimuthDegrees) => {
      const { properties } = hands.line;
      if (faces(properties, azimuthDegrees)) return;
      await hands.reach({
        device: name,
        property: AZIMUTH,
        values: { DOME_ABSOLUTE_POSITION: azimuthDegrees },
        orElse: `the dome did not turn to ${azimuthDegrees.toFixed(0)}°`,
        limitMs: limitSeconds.domeTurn * SECOND,
        isDone: () => faces(properties, azimuthDegrees),
      });
    },
    follow: (hands, azimuthDegrees) => hands.order(name, AZIMUTH, { DOME_ABSOLUTE_POSITION: azimuthDegrees }),
    stop: (line) => line.order(name, "DOME_ABORT_MOTION", { ABORT: "On" }),
  };
}

/** A roof's driver opens it when it is told to unpark, and shuts it when it is told to park. */
function roof(name: string, { limitSeconds }: DeviceConfig): Enclosure {
  const move = async (hands: Hands, element: string, orElse: string): Promise<void> => {
    const { properties } = hands.line;
    if (properties.isOn(name, PARK, element) && properties.state(name, PARK) === "Ok") return;
    await hands.reach({
      ...{ device: name, property: PARK, values: { [element]: "On" }, orElse, restIsEnough: true },
      limitMs: limitSeconds.shutter * SECOND,
      isDone: () => properties.isOn(name, PARK, element),
    });
  };
  return {
    ...OPEN_AIR,
    name,
    keys: [PARK],
    wanted: [PARK, "DOME_ABORT_MOTION"],
    calledWhenShut: "the roof is not fully open",
    isOpen: (properties) => properties.isOn(name, PARK, "UNPARK") && properties.state(name, PARK) === "Ok",
    isShut: (properties) => properties.isOn(name, PARK, "PARK") && properties.state(name, PARK) === "Ok",
    isMoving: (properties) => properties.state(name, PARK) === "Busy",
    open: (hands) => move(hands, "UNPARK", "the roof did not open"),
    shut: async (hands, isMountParked) => {
      if (!isMountParked()) throw new Fault("the roof is not shut: the mount under it is not parked");
      await move(hands, "PARK", "the roof did not shut");
    },
    stop: (line) => line.order(name, "DOME_ABORT_MOTION", { ABORT: "On" }),
  };
}

async function unpark(hands: Hands, device: string, answerSeconds: number, orElse: string): Promise<void> {
  const { properties } = hands.line;
  if (!properties.isOn(device, PARK, "PARK")) return;
  await hands.reach({
    ...{ device, property: PARK, values: { UNPARK: "On" }, orElse, restIsEnough: true },
    limitMs: answerSeconds * SECOND,
    isDone: () => properties.isOn(device, PARK, "UNPARK"),
  });
}
