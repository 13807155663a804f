/** What the telescope reports this moment; watched, never journalled. */
import type { Degrees, UtcMillis } from "../base/units.js";
import type { Equipment } from "./events.js";

/** What may be said of a telescope wherever people meet it. */
export interface TelescopeTraits {
  /** Nothing real moves, and its frames are simulated. */
  readonly simulated: boolean;
  /** One sentence for everyone who looks at it or comes in; null when there is nothing to add. */
  readonly notice: string | null;
  /** What its clock's time is called where it is not the time on everyone's watch: "Practice time"; null for real time. */
  readonly clockName: string | null;
  /** Who says that a request is taken, and what becomes of it: the queue's own next step, an operator, or a program of the observatory's. */
  readonly takenBy: "queue" | "operator" | "program";
  /** Invented people ask for things beside the real ones. */
  readonly inventedClass: boolean;
  /** Its machines move by themselves once a hold is lifted: whoever lifts it confirms that nobody is near them. */
  readonly movesMachines?: true;
}

/** Where tube and slit stand; null: not known, or there is none. */
export type Stance = Pick<TelescopeStatus, "altitudeDegrees" | "azimuthDegrees" | "domeAzimuthDegrees">;

/** What the telescope is doing this moment, for people to watch. */
export interface TelescopeStatus {
  readonly activity:
    | "idle"
    | "holding"
    /** Somebody else's hands or program are at it, and have not said how far they are. */
    | "observing"
    | "moving"
    | "exposing"
    | "reading-out"
    | "handing-over"
    /** What was under way has been ended, and the machines do not stand yet. */
    | "stopping"
    | "fault";
  readonly requestNumber: number | null;
  readonly sinceUnixMs: UtcMillis;
  /** When this activity ends; null when unknown. */
  readonly untilUnixMs: UtcMillis | null;
  readonly altitudeDegrees: Degrees | null;
  readonly azimuthDegrees: Degrees | null;
  readonly domeAzimuthDegrees: Degrees | null;
  /** While moving: what the telescope still waits for, the slowest. */
  readonly waitingFor: "mount" | "dome" | "filter" | "shutter" | "settle" | null;
  readonly domeDegreesLeft: Degrees | null;
  /** While exposing: frame 2 of 5. */
  readonly frame: number | null;
  readonly frames: number | null;
  readonly exposureSeconds: number | null;
  readonly equipment: Equipment;
  readonly traits: TelescopeTraits;
}
