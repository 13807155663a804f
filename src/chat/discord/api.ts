/** The calls Nightslate makes to the HTTP API, typed, through the client's own rest manager. */
import {
  type APIApplicationCommand,
  type APIChannel,
  type APIGuild,
  type APIGuildMember,
  type APIInteractionResponse,
  type APIMessage,
  type APIUser,
  InteractionResponseType,
  type REST,
  type RESTPutAPIApplicationGuildCommandsJSONBody,
  Routes,
} from "discord.js";
import type { Millis } from "../../base/units.js";
import { bodyOf, editOf, type Outgoing } from "./deliver/outgoing.js";
import { explain } from "./errors.js";

/** An answer to an interaction that takes longer than this is sent once more; the platform waits for three seconds. */
const ANSWER_TIMEOUT: Millis = 2_000;

/** How an interaction is named towards the platform. */
export interface InteractionKey {
  readonly id: string;
  readonly token: string;
  readonly application_id: string;
}

export type MessageAnswer =
  | InteractionResponseType.ChannelMessageWithSource
  | InteractionResponseType.UpdateMessage;

/** Nothing here retries what might take effect twice; the rest manager is made with `retries: 0`. */
export class Api {
  /** @param answers for answers to interactions, which the platform does not count against the bot's own limit */
  constructor(
    private readonly rest: REST,
    private readonly token: string,
    private readonly answers: REST = rest,
  ) {}

  /** The bot's own account; its application has the same id scheme and is asked for apart. */
  me(): Promise<APIUser> {
    return this.read(Routes.user());
  }

  application(): Promise<{ readonly id: string; readonly name: string }> {
    return this.read(Routes.currentApplication());
  }

  /** The address of the gateway, for a web socket. */
  async gatewayUrl(): Promise<string> {
    return (await this.read<{ readonly url: string }>(Routes.gatewayBot())).url;
  }

  guild(guildId: string): Promise<APIGuild> {
    return this.read(Routes.guild(guildId));
  }

  channel(channelId: string): Promise<APIChannel> {
    return this.read(Routes.channel(channelId));
  }

  member(guildId: string, userId: string): Promise<APIGuildMember> {
    return this.read(Routes.guildMember(guildId, userId));
  }

  commands(applicationId: string, guildId: string): Promise<APIApplicationCommand[]> {
    return this.read(Routes.applicationGuildCommands(applicationId, guildId));
  }

  /** Replaces a server's whole list of commands (the same list twice is the same list). */
  putCommands(
    applicationId: string,
    guildId: string,
    body: RESTPutAPIApplicationGuildCommandsJSONBody,
  ): Promise<unknown> {
    return this.persistently(() =>
      this.rest.put(Routes.applicationGuildCommands(applicationId, guildId), { body }),
    );
  }

  /** Posts once; a second post with the same nonce within minutes answers with the first message. */
  async post(channelId: string, outgoing: Outgoing, nonce: string): Promise<string> {
    const message = (await this.authorised(() =>
      this.rest.post(Routes.channelMessages(channelId), {
        body: { ...bodyOf(outgoing), nonce, enforce_nonce: true },
        files: [...outgoing.files],
      }),
    )) as APIMessage;
    return message.id;
  }

  edit(channelId: string, messageId: string, outgoing: Outgoing): Promise<unknown> {
    return this.persistently(() =>
      this.rest.patch(Routes.channelMessage(channelId, messageId), {
        body: editOf(outgoing),
        files: [...outgoing.files],
      }),
    );
  }

  message(channelId: string, messageId: string): Promise<APIMessage> {
    return this.read(Routes.channelMessage(channelId, messageId));
  }

  /** Up to a hundred messages, newest first, older than `before`; none where the bot may not see them. */
  history(channelId: string, before: string | null): Promise<APIMessage[]> {
    const query = new URLSearchParams({ limit: "100", ...(before === null ? {} : { before }) });
    return this.persistently(
      () => this.rest.get(Routes.channelMessages(channelId), { query }) as Promise<APIMessage[]>,
    );
  }

  /** The direct-message channel with a person; asking again gives the same one. */
  async directChannel(userId: string): Promise<string> {
    const channel = (await this.persistently(() =>
      this.rest.post(Routes.userChannels(), { body: { recipient_id: userId } }),
    )) as { id: string };
    return channel.id;
  }

  /** First answer to an interaction. A lost reply is asked for once more: the platform takes only one. */
  async answer(key: InteractionKey, response: APIInteractionResponse, outgoing?: Outgoing): Promise<void> {
    const send = (): Promise<unknown> =>
      this.answers.post(Routes.interactionCallback(key.id, key.token), {
        body: response,
        auth: false,
        files: outgoing ? [...outgoing.files] : [],
        signal: AbortSignal.timeout(ANSWER_TIMEOUT),
      });
    try {
      await send();
    } catch (error) {
      if (explain(error).kind !== "uncertain") throw error;
      await send().catch((second: unknown) => {
        if (explain(second).kind !== "answered") throw second;
      });
    }
  }

  /** A first answer with content: a new message, or the pressed message changed. */
  answerWith(key: InteractionKey, type: MessageAnswer, outgoing: Outgoing): Promise<void> {
    const isNew = type === InteractionResponseType.ChannelMessageWithSource;
    const data = isNew ? bodyOf(outgoing) : editOf(outgoing);
    return this.answer(key, { type, data } as APIInteractionResponse, outgoing);
  }

  /** Fills in or replaces the answer to an interaction. */
  editAnswer(key: InteractionKey, outgoing: Outgoing): Promise<unknown> {
    return this.persistently(() =>
      this.answers.patch(Routes.webhookMessage(key.application_id, key.token), {
        body: editOf(outgoing),
        files: [...outgoing.files],
        auth: false,
      }),
    );
  }

  /** A further message to an interaction: sent once, since the platform has no nonce for these. */
  followUp(key: InteractionKey, outgoing: Outgoing): Promise<unknown> {
    return this.answers.post(Routes.webhook(key.application_id, key.token), {
      body: bodyOf(outgoing),
      files: [...outgoing.files],
      auth: false,
    });
  }

  private read<T>(route: `/${string}`): Promise<T> {
    return this.persistently(() => this.rest.get(route) as Promise<T>);
  }

  /** For calls that may safely take effect twice: up to three tries while nothing is known of the first. */
  private async persistently<T>(call: () => Promise<T>): Promise<T> {
    for (let attempt = 1; ; attempt++) {
      try {
        return await this.authorised(call);
      } catch (error) {
        if (attempt === 3 || explain(error).kind !== "uncertain") throw error;
        await new Promise((done) => setTimeout(done, 150 * attempt));
      }
    }
  }

  /** The rest manager forgets its token after one 401; a passing fault must not silence us for good. */
  private authorised<T>(call: () => Promise<T>): Promise<T> {
    this.rest.setToken(this.token);
    return call();
  }
}

/** Deferred: "one moment", filled in later. */
export function deferral(ephemeral: boolean, update: boolean): APIInteractionResponse {
  if (update) return { type: InteractionResponseType.DeferredMessageUpdate };
  return {
    type: InteractionResponseType.DeferredChannelMessageWithSource,
    data: ephemeral ? { flags: 64 } : {},
  };
}
