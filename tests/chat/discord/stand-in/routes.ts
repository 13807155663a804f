/** What each path of the HTTP API means. */
import type { APIInteractionResponse } from "discord-api-types/v10";
import {
  applicationFlagged,
  notFound,
  openingDirectTooFast,
  unknownMember,
  unknownUser,
} from "./api-error.js";
import type { Commands } from "./command-rules.js";
import type { Interactions } from "./interactions.js";
import type { MessageBody, UploadedFile } from "./message-rules.js";
import type { Messages } from "./messages.js";
import { apiChannel, apiGuild, apiMember } from "./shapes.js";
import type { Channel, World } from "./world.js";

export interface RouteParts {
  readonly world: World;
  readonly messages: Messages;
  readonly commands: Commands;
  readonly interactions: Interactions;
  readonly gatewayUrl: () => string;
  /** How often the bot may identify until tomorrow. */
  readonly sessionsLeft: () => number;
}

/** A request that has been read. */
export interface Incoming {
  readonly method: string;
  readonly parts: readonly string[];
  readonly query: Record<string, string>;
  readonly json: unknown;
  readonly files: readonly UploadedFile[];
}

/** Finds what a path means; undefined answers 204. */
export function route(api: RouteParts, incoming: Incoming): unknown {
  const { parts, method } = incoming;
  switch (parts[0]) {
    case "gateway":
      return gateway(api);
    case "users":
      return users(api, incoming);
    case "applications":
      return applications(api, incoming);
    case "oauth2":
      return { id: api.world.applicationId, name: "Nightslate" };
    case "guilds":
      return guilds(api, incoming);
    case "channels":
      return channels(api, incoming);
    case "interactions":
      if (method === "POST" && parts[3] === "callback")
        return api.interactions.answer(
          parts[1] as string,
          parts[2] as string,
          incoming.json as APIInteractionResponse,
          incoming.files,
        );
      throw notFound();
    case "webhooks":
      return webhooks(api, incoming);
    default:
      throw notFound();
  }
}

function gateway(api: RouteParts): object {
  const remaining = api.sessionsLeft();
  return {
    url: api.gatewayUrl(),
    shards: 1,
    session_start_limit: { total: 1000, remaining, reset_after: 86_400_000, max_concurrency: 1 },
  };
}

function users(api: RouteParts, { method, parts, json }: Incoming): unknown {
  if (method === "GET" && parts[1] === "@me") return api.world.bot;
  if (method === "POST" && parts[1] === "@me" && parts[2] === "channels") {
    const recipient = (json as { recipient_id?: string }).recipient_id ?? "";
    return apiChannel(openDirect(api.world, recipient));
  }
  throw notFound();
}

/** @throws {ApiError} 20026 while direct messages are stopped, 40003 beyond the openings left */
function openDirect(world: World, recipientId: string): Channel {
  if (!world.users.has(recipientId)) throw unknownUser();
  if (world.directStopped) throw applicationFlagged();
  if (!world.openDirectChannel(recipientId)) {
    if (world.directOpenings < 1) throw openingDirectTooFast();
    world.directOpenings--;
  }
  return world.directChannel(recipientId);
}

function applications(api: RouteParts, { method, parts, json }: Incoming): unknown {
  if (method === "GET" && parts[1] === "@me")
    return { id: api.world.applicationId, name: "Nightslate", bot_public: true, flags: 0 };
  if (parts[1] !== api.world.applicationId || parts[2] !== "guilds" || parts[4] !== "commands")
    throw notFound();
  if (method === "GET") return api.commands.list(parts[3] as string);
  if (method === "PUT") return api.commands.replace(parts[3] as string, json as never);
  throw notFound();
}

function guilds(api: RouteParts, { method, parts }: Incoming): unknown {
  if (method !== "GET") throw notFound();
  const guild = api.commands.guild(parts[1] as string);
  if (parts.length === 2) return apiGuild(api.world, guild);
  if (parts[2] === "roles") return [...guild.roles.values()];
  if (parts[2] === "channels") return guild.channelIds.map((id) => apiChannel(api.messages.channel(id)));
  if (parts[2] === "members") {
    const member = guild.members.get(parts[3] === "@me" ? api.world.bot.id : (parts[3] as string));
    if (!member) throw unknownMember();
    return apiMember(api.world, guild, member);
  }
  throw notFound();
}

function channels(api: RouteParts, { method, parts, query, json, files }: Incoming): unknown {
  const channelId = parts[1] as string;
  if (parts.length === 2 && method === "GET") return apiChannel(api.messages.seen(channelId));
  if (parts[2] !== "messages") throw notFound();
  const body = (json ?? {}) as MessageBody;
  if (parts.length === 3 && method === "POST")
    return api.messages.toApi(api.messages.post(channelId, body, files));
  if (parts.length === 3 && method === "GET")
    return api.messages.history(channelId, query).map((each) => api.messages.toApi(each));
  const messageId = parts[3] as string;
  if (method === "GET") return api.messages.toApi(api.messages.one(channelId, messageId));
  if (method === "PATCH") return api.messages.toApi(api.messages.edit(channelId, messageId, body, files));
  if (method === "DELETE") return api.messages.remove(channelId, messageId);
  throw notFound();
}

function webhooks(api: RouteParts, { method, parts, json, files }: Incoming): unknown {
  const token = parts[2] as string;
  const body = (json ?? {}) as MessageBody;
  if (parts.length === 3 && method === "POST")
    return api.messages.toApi(api.interactions.followUp(token, body, files));
  const messageId = parts[4] ?? "";
  if (method === "GET") return api.messages.toApi(api.interactions.original(token));
  if (method === "PATCH") return api.messages.toApi(api.interactions.edit(token, messageId, body, files));
  throw notFound();
}
