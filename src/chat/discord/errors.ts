/** What the platform's errors mean, and where to mend them: one table, one sentence each, no personal data. */
import { RESTJSONErrorCodes as Code, DiscordAPIError, HTTPError } from "discord.js";

/** What a fault says about the request that met it. */
export type FaultKind =
  /** Nothing is known: it may have taken effect or not. Try again with the same nonce. */
  | "uncertain"
  /** The platform refused it for now; someone must mend a setting. */
  | "setting"
  /** The token is wrong. */
  | "token"
  /** Too many files' bytes: the same without the files may pass. */
  | "too-large"
  /** The person takes no direct messages from the bot, or cannot be reached. */
  | "no-direct"
  /** The platform lets the bot send nobody direct messages for now. */
  | "direct-stopped"
  /** Too many direct-message channels opened: the same passes later. */
  | "too-fast"
  /** The interaction had been answered already. */
  | "answered"
  /** The interaction is over: three seconds without an answer, or fifteen minutes. */
  | "expired"
  /** What was meant is no longer there. */
  | "gone"
  /** Our own mistake. */
  | "ours";

export interface Fault {
  readonly kind: FaultKind;
  /** The platform's JSON code, the HTTP status, or the network's error code. */
  readonly code: string;
  /** What it means and where to mend it. */
  readonly sentence: string;
}

const PORTAL = "the developer portal (discord.com/developers/applications, your application)";

/** Not in the client's list: the platform's answer to an application it suspects of unwanted messages. */
const APPLICATION_FLAGGED = 20026;

const TOO_LARGE = "A file is larger than Discord takes in this server.";
const TOO_LATE = "Discord keeps an answer open for fifteen minutes, and that is over.";

const BY_CODE: Readonly<Record<number, readonly [FaultKind, string]>> = {
  [Code.UnknownChannel]: [
    "gone",
    "Discord knows no such channel: in Discord turn on User Settings → Advanced → Developer Mode, right-click the class channel, choose Copy Channel ID, and put that into discord.guilds → channelId.",
  ],
  [Code.UnknownGuild]: [
    "gone",
    "Nightslate is not in that server: open the invite link, choose the server, and press Authorise; or correct discord.guilds → guildId.",
  ],
  [Code.UnknownMember]: ["gone", "That person is no longer in the server."],
  [Code.UnknownUser]: ["no-direct", "That account no longer exists."],
  [Code.UnknownMessage]: ["gone", "The message has been deleted."],
  [Code.UnknownInteraction]: [
    "expired",
    "Discord waits three seconds for an answer, and this one came too late: if it happens often, look for a slow network or an overloaded computer.",
  ],
  [Code.UnknownWebhook]: ["expired", TOO_LATE],
  [Code.InvalidWebhookToken]: ["expired", TOO_LATE],
  [Code.InteractionHasAlreadyBeenAcknowledged]: ["answered", "This had been answered already."],
  [Code.RequestEntityTooLarge]: ["too-large", TOO_LARGE],
  [Code.FileUploadedExceedsMaximumSize]: ["too-large", TOO_LARGE],
  [Code.MissingAccess]: [
    "setting",
    "Nightslate cannot see the class channel: in Discord open the channel's Edit Channel → Permissions, add Nightslate, and allow View Channel.",
  ],
  [Code.MissingPermissions]: [
    "setting",
    "Nightslate may not post in the class channel: in Discord open the channel's Edit Channel → Permissions → Nightslate, and allow View Channel, Send Messages, Embed Links, Attach Files and Read Message History.",
  ],
  [Code.CannotSendMessagesToThisUser]: ["no-direct", "This person takes no direct messages from Nightslate."],
  [Code.CannotSendMessagesToThisUserDueToHavingNoMutualGuilds]: [
    "no-direct",
    "This person is no longer in a server with Nightslate.",
  ],
  [APPLICATION_FLAGGED]: [
    "direct-stopped",
    "Discord has stopped Nightslate from sending direct messages; they come to the channel for now.",
  ],
  [Code.OpeningDirectMessagesTooFast]: [
    "too-fast",
    "Discord lets Nightslate open only so many direct messages in a short time; this one follows.",
  ],
  [Code.InvalidFormBodyOrContentType]: [
    "ours",
    "Discord refused a message from Nightslate, so it was not posted: please report this with the log.",
  ],
};

/** The web socket did not open, or never got as far as the bot's servers. */
export class GatewaySilent extends Error {
  constructor() {
    super(
      "Discord answers, but its live connection does not open: a firewall may block web sockets to gateway.discord.gg (port 443).",
    );
  }
}

/** The platform shows an empty history to who may not read it: nothing can be concluded from that. */
export class HistoryHidden extends Error {
  constructor() {
    super(
      "Nightslate may not look back in the class channel, so it cannot tell whether something stands there: in Discord open the channel's Edit Channel → Permissions → Nightslate, and allow Read Message History.",
    );
  }
}

/** Explains whatever a call to the platform threw. */
export function explain(error: unknown): Fault {
  if (error instanceof DiscordAPIError) return explainApi(error);
  if (error instanceof HTTPError)
    return uncertain(`HTTP ${error.status}`, `Discord has trouble of its own (${error.status}).`);
  if (error instanceof HistoryHidden) return { kind: "setting", code: "history", sentence: error.message };
  if (error instanceof GatewaySilent) return uncertain("gateway", error.message);
  if (/Not enough sessions remaining/.test(String(error)))
    return uncertain(
      "sessions",
      "Discord allows no more log-ins until tomorrow: something has started Nightslate, or another program with its token, a thousand times.",
    );
  const { code, name } = error as { code?: unknown; name?: unknown };
  if (code === "TokenInvalid" || /Expected token to be set/.test(String(error))) return tokenFault("401");
  return uncertain(String(code ?? name ?? "unknown"), "Discord could not be reached or did not answer.");
}

function uncertain(code: string, sentence: string): Fault {
  return { kind: "uncertain", code, sentence };
}

/** Close codes of the gateway after which the client gives up (documented). */
export function explainClose(code: number): string | null {
  switch (code) {
    case 4004:
      return tokenFault("4004").sentence;
    case 4013:
    case 4014:
      return `Discord refused the events Nightslate asks for (${code}): it needs none of the privileged ones, so this is our mistake; please report it with the log.`;
    case 4010:
    case 4011:
    case 4012:
      return `Discord refused the connection (${code}): update Nightslate.`;
    default:
      return null;
  }
}

function explainApi(error: DiscordAPIError): Fault {
  const known = BY_CODE[Number(error.code)];
  if (known) return { kind: known[0], code: String(error.code), sentence: known[1] };
  if (error.status === 401) return tokenFault("401");
  if (error.status === 413) return { kind: "too-large", code: "413", sentence: TOO_LARGE };
  if (error.status === 403)
    return {
      kind: "setting",
      code: String(error.code),
      sentence: `Discord does not allow this (${error.code}): compare Nightslate's role and channel permissions with config/guides/discord.md.`,
    };
  return {
    kind: error.status === 404 ? "gone" : "ours",
    code: String(error.code),
    sentence: `Discord refused a request (${error.status}, code ${error.code}): please report it with the log.`,
  };
}

/** What is wrong with the look of a token; null when it could be one. */
export function malformedToken(token: string): string | null {
  if (/^[\w.-]+$/.test(token)) return null;
  return `The token in DISCORD_TOKEN is malformed (letters, digits, dots, dashes and underscores only, without quotation marks or line breaks): in ${PORTAL} open Bot, press Reset Token, then Copy, and paste it anew.`;
}

function tokenFault(code: string): Fault {
  return {
    kind: "token",
    code,
    sentence: `Discord refused the token: in ${PORTAL} open Bot, press Reset Token, and start Nightslate with the new one in DISCORD_TOKEN.`,
  };
}
