/** What goes over the socket between the room's server and its page. Both sides are compiled against it. */

/** A part of a line: plain text, an instant, a person, emphasis. */
export type WirePart =
  | string
  | { readonly at: number; readonly style: "clock" | "day" | "both" | "relative" }
  | { readonly who: string; readonly id: string }
  | { readonly strong: string };
export type WireLine = readonly WirePart[];

export interface WireAction {
  readonly command: string;
  readonly options: Readonly<Record<string, string>>;
  readonly label: string;
  readonly onlyFor: string | null;
}

export interface WireFrame {
  /** Request and 1-based frame. */
  readonly number: number;
  readonly index: number;
  readonly target: string;
  /** "usable: 143 stars seen", "black: cloud …"; null when not judged. */
  readonly verdict: string | null;
  readonly usable: boolean;
  readonly what: string;
  readonly simulated: boolean;
  readonly preview: boolean;
  readonly full: boolean;
}

/** Order of a notice in the class's log: journal entry, then place within it. */
export type Sequence = readonly [entry: number, place: number];

/** Whether `a` comes after `b`. */
export function isAfter(a: Sequence, b: Sequence): boolean {
  return a[0] > b[0] || (a[0] === b[0] && a[1] > b[1]);
}

export interface WireNotice {
  readonly seq: Sequence;
  readonly kind: string;
  readonly at: number;
  readonly title: string;
  readonly lines: readonly WireLine[];
  readonly frames: readonly WireFrame[];
  readonly actions: readonly WireAction[];
  /** For the whole class, for the reader among others, or only about somebody else. */
  readonly to: "class" | "you" | "other";
  /** The one request that it is about; null where it is about several or none. */
  readonly about: number | null;
  readonly quiet: boolean;
}

export interface WirePicture {
  readonly url: string;
  readonly alt: string;
}

export interface WireReply {
  readonly tone: "answer" | "done" | "warning" | "refused";
  readonly title: string;
  readonly lines: readonly WireLine[];
  readonly fields: readonly { readonly name: string; readonly value: WireLine }[];
  readonly table: {
    readonly columns: readonly string[];
    readonly rows: readonly (readonly WireLine[])[];
    readonly ownRows: readonly number[];
  } | null;
  readonly picture: WirePicture | null;
  readonly downloads: readonly { readonly url: string; readonly fileName: string }[];
  readonly frames: readonly WireFrame[];
  readonly actions: readonly WireAction[];
}

export interface WireOption {
  readonly name: string;
  readonly kind: string;
  readonly required: boolean;
  readonly help: string;
  readonly named: boolean;
  readonly byButton: boolean;
  readonly maxLength: number | null;
  readonly choices: readonly string[];
  /** Shown only beside one of these values of another option; null: always. */
  readonly onlyWith: { readonly option: string; readonly choices: readonly string[] } | null;
}

export interface WireCommand {
  readonly name: string;
  readonly who: string;
  readonly help: string;
  /** For what is never kept to be sent later: what to do instead; null for everything else. */
  readonly atOnce: string | null;
  readonly options: readonly WireOption[];
}

/** The server's clock: it may run faster than the reader's. */
export interface WireClock {
  readonly now: number;
  readonly speed: number;
}

export const MASK_STEP_DEGREES = 5;

export interface WireSite {
  readonly name: string;
  readonly className: string;
  readonly latitudeDegrees: number;
  readonly timeZone: string;
  /** Degrees: lowest altitude at which the telescope points. */
  readonly altitudeLimit: number;
  /** Mask altitude at azimuth 0, 5, … 355: every `MASK_STEP_DEGREES`. */
  readonly mask: readonly number[];
  readonly simulated: boolean;
  /** What its time is called where it is not the reader's: "Practice time". */
  readonly clockName: string | null;
}

/** A point that turns with the sky: hour angle at the message's clock, declination, both of date, degrees. */
export interface WireSkyPoint {
  readonly label: string;
  readonly ha: number;
  readonly dec: number;
}

export interface WireTarget extends WireSkyPoint {
  /** Owners and sharers of the requests for it. */
  readonly ids: readonly string[];
  readonly groups: readonly string[];
  readonly place: number | null;
}

/** A bright star, as a landmark: the brighter the larger. */
export interface WireStar extends WireSkyPoint {
  readonly magnitude: number;
}

export interface WireStatus {
  readonly activity: string;
  /** "#7 M31", or "a request of another class"; null when idle. */
  readonly what: string | null;
  readonly ids: readonly string[];
  readonly since: number;
  readonly until: number | null;
  readonly altitude: number | null;
  readonly azimuth: number | null;
  /** Of the dome: degrees at its centre; null without a dome, or where its place is unknown. */
  readonly slit: { readonly azimuth: number; readonly halfWidth: number } | null;
  readonly waitingFor: string | null;
  /** A roll-off roof stands where others have a dome. */
  readonly roof: boolean;
  readonly domeLeft: number | null;
  readonly frame: number | null;
  readonly frames: number | null;
  readonly exposure: number | null;
  readonly equipment: {
    readonly telescope: string;
    readonly dome: string;
    readonly camera: string;
    readonly sky: string;
  };
  readonly hold: { readonly reason: string; readonly until: number | null } | null;
  readonly dark: WireLine;
}

/** What whoever works the telescope by hand is to observe, or has under way. */
export interface WireHand {
  readonly title: string;
  readonly lines: readonly WireLine[];
  readonly actions: readonly WireAction[];
}

export interface WireRow {
  /** null: one or more requests of other classes. */
  readonly number: number | null;
  readonly label: string;
  readonly who: string;
  readonly ids: readonly string[];
  readonly group: string | null;
  readonly place: number | null;
  readonly start: number | null;
  readonly altitude: number | null;
  readonly early: number | null;
  readonly late: number | null;
  /** A hold keeps it from having a start. */
  readonly held: boolean;
}

export interface WireOwn {
  readonly number: number;
  readonly label: string;
  readonly wish: string;
  readonly place: number | null;
  /** Nothing runs before it, and it starts soon. */
  readonly isNext: boolean;
  readonly start: number | null;
  readonly early: number | null;
  readonly late: number | null;
  /** When it starts if not at `start`, where the night has two stretches for it, far apart; null: one range. */
  readonly orElse: number | null;
  /** In words: why there is no start, that it is under way, or for which time it waits. */
  readonly words: WireLine;
}

export interface WireHello {
  /** Names the server's journal: what was seen of another one counts for nothing here. */
  readonly book: string;
  readonly clock: WireClock;
  readonly me: {
    readonly id: string;
    readonly name: string;
    readonly role: "student" | "operator" | "instructor";
    readonly group: string | null;
  };
  readonly site: WireSite;
  readonly commands: readonly WireCommand[];
  /** Only for staff: how a phone gets in. */
  readonly entry: WireEntry | null;
}

export interface WireEntry {
  readonly address: string;
  readonly code: string;
  /** Whether other machines can reach the room. */
  readonly open: boolean;
  /** A QR code as rows of "1" and "0"; empty when the room is not open. */
  readonly qr: readonly string[];
}

/** Closes the socket of someone who has not joined, or is in no more; the page then asks at the door. */
export const SIGNED_OUT = 4001;

/** What a stranger learns at the door, and a member of themselves. */
export interface WireDoor {
  readonly site: string;
  readonly me: string | null;
  readonly role: string | null;
}

/** What the right code tells. */
export interface WireOpened {
  readonly className: string;
  readonly groups: readonly string[];
}

/** Someone of the room, as the instructor's page lists them. */
export interface WirePerson {
  readonly id: string;
  readonly name: string;
  readonly role: "student" | "operator" | "instructor";
}

/** A code with which somebody comes back under their name. */
export interface WireLetBack {
  readonly name: string;
  readonly code: string;
  /** How long the code is good for. */
  readonly minutes: number;
}

/** What the server says, by kind. */
interface ServerFacts {
  hello: WireHello;
  status: { clock: WireClock; status: WireStatus };
  /** For staff, where people work the telescope. */
  hand: { hand: WireHand };
  order: { waiting: number; rule: string; rows: readonly WireRow[]; more: number };
  sky: {
    clock: WireClock;
    targets: readonly WireTarget[];
    moon: (WireSkyPoint & { readonly lit: number; readonly waxing: boolean }) | null;
  };
  stars: { clock: WireClock; stars: readonly WireStar[] };
  own: { requests: readonly WireOwn[]; frames: readonly WireFrame[] };
  notice: { notice: WireNotice };
  /** All notices that were missed have been sent. */
  "caught-up": { seq: Sequence };
  reply: { id: string; reply: WireReply };
  suggestions: { id: string; items: readonly { readonly label: string; readonly value: string }[] };
  pass: { role: string; pass: string };
  trouble: { text: string };
}

/** What the page says, by kind. */
interface ClientFacts {
  /** `after`: the last notice seen; `back`: how many seen ones to show again (after a reload). */
  hello: { after: Sequence | null; back: number };
  line: { id: string; line: string };
  run: { id: string; command: string; options: Readonly<Record<string, string>> };
  suggest: { id: string; command: string; option: string; typed: string };
  pass: { role: "instructor" | "operator" };
}

type MessageOf<Facts> = { [Kind in keyof Facts]: Readonly<{ t: Kind } & Facts[Kind]> }[keyof Facts];

/** From the server. */
export type ServerMessage = MessageOf<ServerFacts>;
/** From the page. */
export type ClientMessage = MessageOf<ClientFacts>;
