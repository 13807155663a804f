/**
 * Delivers parcels exactly once. A post carries a nonce made from the parcel's key, which the platform
 * enforces for some minutes; whenever the parcel may have been sent before, the channel's history is
 * searched for our own mark first, which has no such limit.
 */
import { RESTJSONErrorCodes } from "discord.js";
import { DAY, MINUTE } from "../../../base/units.js";
import type { Notice } from "../../../journal/notice.js";
import type { Delivery, Parcel } from "../../surface.js";
import { explain, type Fault } from "../errors.js";
import { DISCORD, userIdOf } from "../hear/place.js";
import type { Kit } from "../kit.js";
import { UPLOAD_BYTES } from "../limits.js";
import { noticeFiles } from "./attachments.js";
import type { DirectRefusals } from "./direct.js";
import { findMarked } from "./look-back.js";
import { nonceFor } from "./nonce.js";
import { type Posted, postParts, type Trip } from "./post-parts.js";
import { type Part, renderNotices } from "./render-notice.js";

/** Where the messages of one parcel go. */
interface Destination {
  readonly channelId: string;
  readonly direct: boolean;
  /** Distinguishes the same parcel in another place: after the keys of its messages. */
  readonly suffix: "" | typeof INSTEAD;
  readonly postscript: string | null;
}

/** In the class channel instead of by direct message. */
const INSTEAD = "@channel";
const UNKNOWN_CHANNEL = String(RESTJSONErrorCodes.UnknownChannel);
const SECONDS_UNTIL_MENDED = 60;
/** An upload of which nothing was heard is tried so often; then the message goes without it. */
const MOST_UPLOADS = 2;
const CLOSED_SENTENCE =
  "Your direct messages are closed to Nightslate, so this comes here, and so will what follows. Allow direct messages in this server's privacy settings and choose /alerts direct again to change that.";

export class Courier {
  /** Parcels tried in this process and not yet delivered. */
  private readonly trips = new Map<string, Trip>();

  /** @param uploadBytesIn largest file in a channel, bytes */
  constructor(
    private readonly kit: Kit,
    private readonly refusals: DirectRefusals,
    private readonly uploadBytesIn: (channelId: string) => number,
  ) {}

  /** Never rejects: whatever goes wrong is a delivery to retry or to drop. */
  async deliver(stored: Parcel): Promise<Delivery> {
    const parcel = this.addressed(stored);
    const trip = this.tripFor(parcel);
    try {
      const { messageId, refused } = await this.send(parcel, trip);
      this.trips.delete(parcel.key);
      const [first] = refused;
      if (!first) return { result: "delivered", messageId };
      const reason = this.complain(first.fault);
      if (messageId === null) return { result: "drop", reason };
      return {
        result: "delivered",
        messageId,
        refused: { keys: refused.map((each) => each.notice.key), reason },
      };
    } catch (error) {
      const fault = this.inOurTerms(explain(error), parcel);
      if (fault.kind === "ours") this.complain(fault);
      const outcome = outcomeOf(fault);
      if (outcome.result === "drop") this.trips.delete(parcel.key);
      return outcome;
    }
  }

  /** A channel that the configuration names may be a slip of the pen there: it is waited for, as a permission is. */
  private inOurTerms(fault: Fault, { notices }: Parcel): Fault {
    const { venues } = this.kit.host.services;
    const isNamed = venues.of(DISCORD).channelsOf(notices[0]?.classId ?? "").length > 0;
    return fault.code === UNKNOWN_CHANNEL && isNamed ? { ...fault, kind: "setting" } : fault;
  }

  /** To the channel that the class has by now: it may have moved since the notices were stored. */
  private addressed(parcel: Parcel): Parcel {
    const { venues } = this.kit.host.services;
    return { ...parcel, to: venues.present(parcel.notices[0]?.classId ?? "", parcel.to) };
  }

  /** Nothing of a parcel can be older than its first trial, or, after a restart, than its notices. */
  private tripFor(parcel: Parcel): Trip {
    const { host, realClock } = this.kit;
    const now = realClock.now();
    const known = this.trips.get(parcel.key);
    const isReal = Math.abs(host.clock.now() - now) < MINUTE;
    const oldest = Math.min(...parcel.notices.map((notice) => notice.atUnixMs));
    const sinceUnixMs = parcel.maybeSent ? (isReal ? oldest - 10 * MINUTE : now - 8 * DAY) : now - MINUTE;
    const trip = known
      ? Object.assign(known, { maybeSent: true })
      : { maybeSent: parcel.maybeSent, sinceUnixMs, lostUploads: 0 };
    this.trips.set(parcel.key, trip);
    return trip;
  }

  private async send(parcel: Parcel, trip: Trip): Promise<Posted> {
    const recipient = recipientOf(parcel.notices);
    if (recipient !== null) return this.postTo(recipient, parcel, trip);
    return this.post(parcel, trip, inChannel(parcel, "", null));
  }

  /** By direct message; in the class channel where direct messages were refused. */
  private async postTo(userId: string, parcel: Parcel, trip: Trip): Promise<Posted> {
    const { refusals, kit } = this;
    const { api, log } = kit;
    const instead = (postscript: string | null): Promise<Posted> =>
      this.post(parcel, trip, inChannel(parcel, INSTEAD, postscript));
    if (refusals.isRefused(userId))
      return instead(refusals.wasMetBy(userId, parcel.key) ? CLOSED_SENTENCE : null);
    if (await this.beganInChannel(parcel, trip)) return instead(null);
    try {
      const channelId = await api.directChannel(userId);
      return await this.post(parcel, trip, { channelId, direct: true, suffix: "", postscript: null });
    } catch (error) {
      const fault = explain(error);
      if (fault.kind === "no-direct") {
        await refusals.remember(userId, parcel.key);
        return instead(CLOSED_SENTENCE);
      }
      if (fault.kind !== "direct-stopped") throw error;
      log.warn({ code: fault.code }, fault.sentence);
      return instead(fault.sentence);
    }
  }

  /** Whether an earlier trial turned to the channel for a reason that is not remembered. */
  private async beganInChannel(parcel: Parcel, trip: Trip): Promise<boolean> {
    if (!trip.maybeSent) return false;
    const marks = new Set([nonceFor(`${parcel.key}${INSTEAD}`)]);
    return (await findMarked(this.kit.api, parcel.to.channel, marks, trip.sinceUnixMs)).size > 0;
  }

  /** Posts a parcel; what the platform refuses of several notices is tried one by one. */
  private async post(parcel: Parcel, trip: Trip, to: Destination): Promise<Posted> {
    const posted = await this.postWhole(parcel, trip, to);
    if (posted.refused.length === 0) return posted;
    const refused: Posted["refused"][number][] = [];
    let { messageId } = posted;
    for (const { notice } of posted.refused) {
      const one = { ...parcel, key: notice.key, notices: [notice] };
      const single = parcel.notices.length > 1 ? await this.postWhole(one, trip, to) : posted;
      refused.push(...single.refused);
      messageId ??= single.messageId;
    }
    return { messageId, refused };
  }

  private async postWhole(parcel: Parcel, trip: Trip, to: Destination): Promise<Posted> {
    const { api } = this.kit;
    const uploadBytes = to.direct ? (UPLOAD_BYTES[0] as number) : this.uploadBytesIn(to.channelId);
    const parts = await this.render(parcel, trip, to, uploadBytes);
    try {
      return await postParts(api, parts, to.channelId, trip);
    } catch (error) {
      if (explain(error).kind !== "too-large") throw error;
      trip.maybeSent = true;
      return postParts(api, await this.render(parcel, trip, to, 0), to.channelId, trip);
    }
  }

  private async render(parcel: Parcel, trip: Trip, to: Destination, uploadBytes: number): Promise<Part[]> {
    const { host } = this.kit;
    const limits = { uploadBytes, without: trip.lostUploads >= MOST_UPLOADS };
    const { files, sentences } = await noticeFiles(parcel.notices, host.dataFolder, limits);
    const postscript = [...sentences, ...(to.postscript === null ? [] : [to.postscript])];
    return renderNotices(`${parcel.key}${to.suffix}`, parcel.notices, {
      nameOf: (personId) => host.nameFor(personId, parcel.notices[0]?.classId ?? ""),
      wantsMention: (personId) => this.wantsMention(personId),
      direct: to.direct,
      files,
      postscript: postscript.length > 0 ? postscript.join(" ") : null,
    });
  }

  /** Who chose silence, or the morning, is named without being called. */
  private wantsMention(personId: string): boolean {
    const how = this.kit.host.services.desk.state.alerts.get(personId)?.how ?? "mention";
    return how === "mention" || how === "direct";
  }

  /** Our own mistake is told to the operator as well as logged; the sentence. */
  private complain({ code, sentence }: Fault): string {
    this.kit.log.error({ code }, sentence);
    this.kit.say(`Discord: ${sentence}`);
    return `${code}: ${sentence}`;
  }
}

function inChannel({ to }: Parcel, suffix: Destination["suffix"], postscript: string | null): Destination {
  return { channelId: to.channel, direct: false, suffix, postscript };
}

/** The one person a parcel is written to directly; null for a class channel. */
function recipientOf(notices: readonly Notice[]): string | null {
  const [first] = notices;
  if (first?.audience !== "person") return null;
  return userIdOf(first.people[0] ?? "");
}

function outcomeOf(fault: Fault): Delivery {
  const reason = `${fault.code}: ${fault.sentence}`;
  switch (fault.kind) {
    case "setting":
    case "token":
    case "too-fast":
      return { result: "retry", afterMs: SECONDS_UNTIL_MENDED * 1000, reason };
    case "gone":
    case "no-direct":
    case "ours":
      return { result: "drop", reason };
    default:
      return { result: "retry", afterMs: 0, reason };
  }
}
