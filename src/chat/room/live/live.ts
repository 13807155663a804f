/** Keeps every phone's view of the present up to date: telescope, run order, own requests, sky. */
import type { CallOff, Clock } from "../../../base/clock.js";
import type { UtcMillis } from "../../../base/units.js";
import type { Services } from "../../../commands/services.js";
import { memberOf } from "../../../journal/membership.js";
import type { PersonId } from "../../../queue/request.js";
import type { Phone } from "../serve/phone.js";
import type { WireFrame, WireOwn } from "../wire.js";
import { LiveHand } from "./live-hand.js";
import { framesByPerson, orderFor } from "./live-order.js";
import { LiveSky } from "./live-sky.js";
import { statusFor } from "./live-status.js";

/** Real milliseconds between looks when nothing happens. */
const LOOK_MS = 1_000;
/** What happens is shown after this, with what else happens meanwhile … */
const SOON_MS = 80;
/** … but not more often than this. */
const SPACING_MS = 400;
/** A phone that has heard nothing for longer believes the connection lost. */
const HEARTBEAT_LOOKS = 2;
/** The page turns the sky itself; now and then it is set right. */
const SKY_LOOKS = 30;

/** A message as it is sent, and what it was made from. */
interface Made {
  readonly from: string;
  readonly bytes: Buffer;
}
type Shown = "status" | "order" | "sky" | "stars" | "hand";

export class Live {
  private readonly sky: LiveSky;
  private readonly hand: LiveHand;
  private readonly made = new Map<Shown, Made>();
  private readonly ownMade = new Map<PersonId, Made>();
  private own: ReadonlyMap<PersonId, readonly WireOwn[]> = new Map();
  private frames: ReadonlyMap<PersonId, readonly WireFrame[]> = new Map();
  private framesEntry = -1;
  private looks = 0;
  private lookedUnixMs: UtcMillis = 0;
  private madeUnixMs: UtcMillis = Number.NEGATIVE_INFINITY;
  /** A sign of life is due, changed or not. */
  private beat = true;
  /** The page's own turning of the sky is due to be set right. */
  private setRight = true;
  private callOff: CallOff = () => {};
  private soon = false;

  constructor(
    private readonly services: Services,
    private readonly classId: string,
    private readonly phones: () => Iterable<Phone>,
    private readonly real: Clock,
  ) {
    this.sky = new LiveSky(services, classId);
    this.hand = new LiveHand(services, classId);
  }

  /** Begins to look once a second. */
  start(): void {
    this.callOff = this.real.at(this.real.now() + LOOK_MS, () => {
      this.looks += 1;
      // Simulated time stands still now and then: pages must hear of it soon.
      this.beat ||= this.services.clock.speed > 1 || this.looks % HEARTBEAT_LOOKS === 0;
      this.setRight ||= this.looks % SKY_LOOKS === 0;
      this.look();
      this.start();
    });
  }

  stop(): void {
    this.callOff();
  }

  /** Something happened: look soon, once for all that happens together. */
  changed(): void {
    if (this.soon) return;
    this.soon = true;
    const atUnixMs = Math.max(this.real.now() + SOON_MS, this.lookedUnixMs + SPACING_MS);
    this.real.at(atUnixMs, () => {
      this.soon = false;
      this.look();
    });
  }

  /** Everything at once, for a phone that has just connected. */
  welcome(phone: Phone): void {
    // Its clock is set by the stamp, which must be fresh; when many come at once, they share the rest.
    this.beat = true;
    if (this.real.now() - this.madeUnixMs >= SPACING_MS) this.make();
    else this.makeStatus();
    this.showTo(phone);
    this.changed();
  }

  private look(): void {
    this.lookedUnixMs = this.real.now();
    const phones = [...this.phones()].filter((phone) => phone.greeted);
    if (phones.length === 0) return;
    this.make();
    for (const phone of phones) {
      phone.showWaiting();
      this.showTo(phone);
    }
  }

  private showTo(phone: Phone): void {
    const role = memberOf(this.services.desk.state, phone.personId, this.classId)?.role ?? "student";
    for (const [what, { bytes }] of this.made)
      if (what !== "hand" || role !== "student") phone.show(what, bytes);
    phone.show("own", this.ownOf(phone.personId));
  }

  /** The messages for everybody; one that says nothing new stays the very same. */
  private make(): void {
    const { byPerson, ...order } = orderFor(this.services, this.classId);
    this.madeUnixMs = this.real.now();
    this.own = byPerson;
    this.keep("order", order, false);
    this.makeStatus();
    const hand = this.hand.now();
    if (hand) this.keep("hand", { hand }, false);
    const targets = order.rows.map((row) => `${row.number}:${row.place}`).join();
    if (this.made.get("sky")?.from !== targets || this.setRight) {
      this.made.set("sky", { from: targets, bytes: this.bytes("sky", this.sky.now(), true) });
    }
    if (this.setRight)
      this.made.set("stars", { from: "", bytes: this.bytes("stars", { stars: this.sky.stars() }, true) });
    this.setRight = false;
    const { lastEntryId } = this.services.desk.state;
    if (lastEntryId !== this.framesEntry) this.frames = framesByPerson(this.services, this.classId);
    this.framesEntry = lastEntryId;
  }

  private makeStatus(): void {
    this.keep("status", { status: statusFor(this.services, this.classId) }, this.beat, true);
    this.beat = false;
  }

  private keep(what: Shown, body: object, anyway: boolean, stamped = false): void {
    const from = JSON.stringify(body);
    if (this.made.get(what)?.from === from && !anyway) return;
    this.made.set(what, { from, bytes: this.bytes(what, body, stamped) });
  }

  private ownOf(personId: PersonId): Buffer {
    const body = { requests: this.own.get(personId) ?? [], frames: this.frames.get(personId) ?? [] };
    const from = JSON.stringify(body);
    const known = this.ownMade.get(personId);
    if (known?.from === from) return known.bytes;
    const made = { from, bytes: this.bytes("own", body, false) };
    this.ownMade.set(personId, made);
    return made.bytes;
  }

  private bytes(t: Shown | "own", body: object, stamped: boolean): Buffer {
    const { clock } = this.services;
    const stamp = stamped ? { clock: { now: clock.now(), speed: clock.speed } } : {};
    return Buffer.from(JSON.stringify({ t, ...stamp, ...body }));
  }
}
