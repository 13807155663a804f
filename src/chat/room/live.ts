/** Keeps every phone's view of the present up to date: telescope, run order, own requests, sky. */
import type { CallOff, Clock } from "../../base/clock.js";
import type { Services } from "../../commands/services.js";
import type { PersonId } from "../../queue/request.js";
import { type ClassOrder, framesByPerson, orderFor } from "./live-order.js";
import { LiveSky } from "./live-sky.js";
import { statusFor } from "./live-status.js";
import type { Phone } from "./phone.js";
import type { ServerMessage, WireClock, WireFrame } from "./wire.js";

/** Real milliseconds between looks; something that happened is shown sooner. */
const LOOK_MS = 1_000;
const SOON_MS = 80;
/** A phone that has heard nothing for longer believes the connection lost. */
const HEARTBEAT_LOOKS = 4;
/** The page turns the sky itself; now and then it is set right. */
const SKY_LOOKS = 30;

interface View {
  order: ClassOrder;
  text: string;
}

export class Live {
  private readonly sky: LiveSky;
  private view: View | null = null;
  private orderText = "";
  private statusText = "";
  private skyText = "";
  private skyTargets = "";
  private statusShown = "";
  private frames: ReadonlyMap<PersonId, readonly WireFrame[]> = new Map();
  private framesEntry = -1;
  private readonly own = new Map<PersonId, { readonly bare: string; readonly text: string }>();
  private looks = 0;
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
  }

  /** Begins to look once a second. */
  start(): void {
    this.callOff = this.real.at(this.real.now() + LOOK_MS, () => {
      this.looks += 1;
      this.beat ||= this.looks % HEARTBEAT_LOOKS === 0;
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
    this.real.at(this.real.now() + SOON_MS, () => {
      this.soon = false;
      this.look();
    });
  }

  /** Everything at once, for a phone that has just connected. */
  welcome(phone: Phone): void {
    // Its clock is set by the stamp, which must be fresh.
    this.beat = true;
    this.make();
    this.showTo(phone);
  }

  private look(): void {
    const phones = [...this.phones()].filter((phone) => phone.greeted);
    if (phones.length === 0) return;
    this.make();
    for (const phone of phones) {
      phone.showWaiting();
      this.showTo(phone);
    }
  }

  private showTo(phone: Phone): void {
    phone.show("status", this.statusText);
    phone.show("order", this.orderText);
    phone.show("own", this.ownText(phone.personId));
    phone.show("sky", this.skyText);
  }

  /** The texts for everybody; one that says nothing new stays the very same. */
  private make(): void {
    const order = orderFor(this.services, this.classId);
    const { byPerson: _, ...shared } = order;
    const orderText = JSON.stringify(shared);
    if (this.view?.text !== orderText) this.orderText = JSON.stringify({ t: "order", ...shared });
    this.view = { order, text: orderText };
    const { lastEntryId } = this.services.desk.state;
    if (lastEntryId !== this.framesEntry) this.frames = framesByPerson(this.services, this.classId);
    this.framesEntry = lastEntryId;
    const status = statusFor(this.services, this.classId);
    const statusText = JSON.stringify(status);
    if (statusText !== this.statusShown || this.beat) {
      this.beat = false;
      this.statusShown = statusText;
      this.statusText = this.stamped("status", { status });
    }
    const targets = order.rows.map((row) => `${row.number}:${row.place}`).join();
    if (this.skyText === "" || targets !== this.skyTargets || this.setRight) {
      this.setRight = false;
      this.skyTargets = targets;
      this.skyText = this.stamped("sky", this.sky.now());
    }
  }

  private ownText(personId: PersonId): string {
    const body = {
      requests: this.view?.order.byPerson.get(personId) ?? [],
      frames: this.frames.get(personId) ?? [],
    };
    const bare = JSON.stringify(body);
    const known = this.own.get(personId);
    if (known?.bare === bare) return known.text;
    const text = JSON.stringify({ t: "own", ...body });
    this.own.set(personId, { bare, text });
    return text;
  }

  private stamped(t: ServerMessage["t"], body: object): string {
    const { clock } = this.services;
    const stamp: WireClock = { now: clock.now(), speed: clock.speed };
    return JSON.stringify({ t, clock: stamp, ...body });
  }
}
