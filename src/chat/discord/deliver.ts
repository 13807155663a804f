/**
 * Delivers parcels exactly once. A post carries a nonce made from the parcel's key, which the platform
 * enforces for some minutes; whenever the parcel may have been sent before, the channel's history is
 * searched for our own mark first, which has no such limit.
 */
import type { Clock } from "../../base/clock.js";
import type { Log } from "../../base/log.js";
import { DAY, MINUTE, type UtcMillis } from "../../base/units.js";
import type { Notice } from "../../journal/notice.js";
import type { Delivery, Parcel, SurfaceHost } from "../surface.js";
import type { Api } from "./api.js";
import { noticeFiles } from "./attachments.js";
import type { DirectRefusals } from "./direct.js";
import { explain, type Fault } from "./errors.js";
import { UPLOAD_BYTES } from "./limits.js";
import { findMarked } from "./look-back.js";
import { userIdOf } from "./place.js";
import { type Part, renderNotices } from "./render-notice.js";

export interface CourierParts {
  readonly api: Api;
  readonly host: SurfaceHost;
  readonly refusals: DirectRefusals;
  /** Real time: how long the platform remembers a nonce does not depend on the practice clock. */
  readonly realClock: Clock;
  readonly log: Log;
  /** Largest file in a channel, bytes. */
  readonly uploadBytesIn: (channelId: string) => number;
}

/** Where the messages of one parcel go, under which key. */
interface Destination {
  readonly key: string;
  readonly channelId: string;
  readonly direct: boolean;
  readonly postscript: string | null;
}

const SECONDS_UNTIL_MENDED = 60;
const CLOSED_SENTENCE =
  "Your direct messages are closed to Nightslate, so this comes here, and so will what follows. Allow direct messages in this server's privacy settings and choose /alerts direct again to change that.";

export class Courier {
  /** Parcels tried in this process, with the real time of the first trial. */
  private readonly tried = new Map<string, UtcMillis>();

  constructor(private readonly parts: CourierParts) {}

  /** Never rejects: whatever goes wrong is a delivery to retry or to drop. */
  async deliver(parcel: Parcel): Promise<Delivery> {
    try {
      return await this.send(parcel);
    } catch (error) {
      const fault = explain(error);
      if (fault.kind === "ours") this.parts.log.error({ code: fault.code }, fault.sentence);
      const outcome = outcomeOf(fault);
      if (outcome.result === "drop") this.tried.delete(parcel.key);
      return outcome;
    }
  }

  private async send(parcel: Parcel): Promise<Delivery> {
    const maybeSent = parcel.maybeSent || this.tried.has(parcel.key);
    const since = this.searchSince(parcel);
    if (!this.tried.has(parcel.key)) this.tried.set(parcel.key, this.parts.realClock.now());
    const recipient = recipientOf(parcel.notices);
    const messageId =
      recipient === null
        ? await this.post(
            parcel,
            { ...IN_CHANNEL, key: parcel.key, channelId: parcel.to.channel },
            maybeSent,
            since,
          )
        : await this.postTo(recipient, parcel, maybeSent, since);
    this.tried.delete(parcel.key);
    return { result: "delivered", messageId };
  }

  /** By direct message; in the class channel where direct messages were refused. */
  private async postTo(
    userId: string,
    parcel: Parcel,
    maybeSent: boolean,
    since: UtcMillis,
  ): Promise<string> {
    const { api, refusals } = this.parts;
    if (refusals.refusedBy(userId) === null) {
      try {
        const channelId = await api.directChannel(userId);
        const to = { key: parcel.key, channelId, direct: true, postscript: null };
        return await this.post(parcel, to, maybeSent, since);
      } catch (error) {
        if (explain(error).kind !== "no-direct") throw error;
        await refusals.remember(userId, parcel.key);
      }
    }
    return this.post(
      parcel,
      {
        ...IN_CHANNEL,
        key: `${parcel.key}@channel`,
        channelId: parcel.to.channel,
        postscript: refusals.refusedBy(userId) === parcel.key ? CLOSED_SENTENCE : null,
      },
      maybeSent,
      since,
    );
  }

  private async post(parcel: Parcel, to: Destination, maybeSent: boolean, since: UtcMillis): Promise<string> {
    const render = async (uploadBytes: number): Promise<Part[]> => this.render(parcel, to, uploadBytes);
    const uploadBytes = to.direct ? (UPLOAD_BYTES[0] as number) : this.parts.uploadBytesIn(to.channelId);
    try {
      return await this.postParts(await render(uploadBytes), to.channelId, maybeSent, since);
    } catch (error) {
      if (explain(error).kind !== "too-large") throw error;
      return this.postParts(await render(0), to.channelId, true, since);
    }
  }

  /** Posts what does not stand yet; the id of the first message. */
  private async postParts(
    parts: readonly Part[],
    channelId: string,
    maybeSent: boolean,
    since: UtcMillis,
  ): Promise<string> {
    const { api } = this.parts;
    const marks = new Set(parts.map((part) => part.nonce));
    const standing = maybeSent ? await findMarked(api, channelId, marks, since) : new Map<string, string>();
    const ids: string[] = [];
    for (const { nonce, message } of parts)
      ids.push(standing.get(nonce) ?? (await api.post(channelId, message, nonce)));
    return ids[0] as string;
  }

  private async render(parcel: Parcel, to: Destination, uploadBytes: number): Promise<Part[]> {
    const { host } = this.parts;
    const { files, sentences } = await noticeFiles(parcel.notices, host.dataFolder, uploadBytes);
    const postscript = [...sentences, ...(to.postscript === null ? [] : [to.postscript])];
    return renderNotices(to.key, parcel.notices, {
      nameOf: (personId) => host.nameFor(personId, parcel.notices[0]?.classId ?? ""),
      wantsMention: (personId) => this.wantsMention(personId),
      direct: to.direct,
      files,
      postscript: postscript.length > 0 ? postscript.join(" ") : null,
    });
  }

  /** Who chose silence, or the morning, is named without being called. */
  private wantsMention(personId: string): boolean {
    const how = this.parts.host.services.desk.state.alerts.get(personId)?.how ?? "mention";
    return how === "mention" || how === "direct";
  }

  /** Nothing of this parcel can be older than its first trial, or, after a restart, than its notices. */
  private searchSince(parcel: Parcel): UtcMillis {
    const { host, realClock } = this.parts;
    const now = realClock.now();
    const tried = this.tried.get(parcel.key);
    if (tried !== undefined && !parcel.maybeSent) return tried - MINUTE;
    const isReal = Math.abs(host.clock.now() - now) < MINUTE;
    const oldest = Math.min(...parcel.notices.map((notice) => notice.atUnixMs));
    return isReal ? oldest - 10 * MINUTE : now - 8 * DAY;
  }
}

const IN_CHANNEL = { direct: false, postscript: null } as const;

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
      return { result: "retry", afterMs: SECONDS_UNTIL_MENDED * 1000, reason };
    case "gone":
    case "no-direct":
    case "ours":
      return { result: "drop", reason };
    default:
      return { result: "retry", afterMs: 0, reason };
  }
}
