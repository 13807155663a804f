/** Interactions: made by people, answered once within three seconds, editable for fifteen minutes. */
import type { APIApplicationCommandOptionChoice, APIInteractionResponse } from "discord-api-types/v10";
import { ApplicationCommandOptionType, InteractionResponseType, MessageFlags } from "discord-api-types/v10";
import { MINUTE, SECOND, type UtcMillis } from "../../../../src/base/units.js";
import {
  alreadyAcknowledged,
  invalidForm,
  invalidWebhookToken,
  unknownInteraction,
  unknownMessage,
  unknownWebhook,
} from "./api-error.js";
import {
  ANSWER_FLAGS,
  checkMessage,
  checkUploads,
  type MessageBody,
  type UploadedFile,
} from "./message-rules.js";
import type { Messages } from "./messages.js";
import type { Channel, StoredMessage, World } from "./world.js";

/** How long an interaction waits for its answer, and how long its token is good (documented). */
export const ANSWER_WITHIN_MS = 3 * SECOND;
export const TOKEN_LIFE_MS = 15 * MINUTE;

/** One interaction and all that came of it. */
export interface Interaction {
  readonly id: string;
  readonly token: string;
  readonly channel: Channel;
  readonly createdUnixMs: UtcMillis;
  /** What was sent to the bot, to be sent again. */
  payload: object | null;
  /** The message whose button was pressed. */
  readonly pressedOn: StoredMessage | null;
  /** The type of the first answer; null until there is one. */
  answeredWith: InteractionResponseType | null;
  /** The answer only the person sees. */
  ephemeral: boolean;
  /** The answer itself, once it has content. */
  original: StoredMessage | null;
  readonly followUps: StoredMessage[];
  choices: APIApplicationCommandOptionChoice[] | null;
  /** Answers beyond the first that were refused. */
  refusedAnswers: number;
  /** Real milliseconds from dispatch to the first answer. */
  ackMs: number | null;
  readonly sentAt: number;
  /** Resolves at the first answer. */
  readonly acknowledged: Promise<Interaction>;
  /** Resolves when there is content (or choices). */
  readonly settled: Promise<Interaction>;
}

interface Waiters {
  acknowledge(interaction: Interaction): void;
  settle(interaction: Interaction): void;
}

export class Interactions {
  private readonly byToken = new Map<string, Interaction>();
  private readonly byId = new Map<string, Interaction>();
  private readonly waiters = new Map<Interaction, Waiters>();
  /** Every interaction, in order. */
  readonly all: Interaction[] = [];

  constructor(
    private readonly world: World,
    private readonly messages: Messages,
  ) {}

  /** Registers an interaction; the caller dispatches `payload(...)` of it to the bot. */
  open(channel: Channel, pressedOn: StoredMessage | null): Interaction {
    let acknowledge!: (value: Interaction) => void;
    let settle!: (value: Interaction) => void;
    const id = this.world.ids.next();
    const interaction: Interaction = {
      id,
      token: `standin-${id}`,
      channel,
      createdUnixMs: this.world.now(),
      payload: null,
      pressedOn,
      answeredWith: null,
      ephemeral: false,
      original: null,
      followUps: [],
      choices: null,
      refusedAnswers: 0,
      ackMs: null,
      sentAt: performance.now(),
      acknowledged: new Promise((resolve) => {
        acknowledge = resolve;
      }),
      settled: new Promise((resolve) => {
        settle = resolve;
      }),
    };
    this.byToken.set(interaction.token, interaction);
    this.byId.set(id, interaction);
    this.waiters.set(interaction, { acknowledge, settle });
    this.all.push(interaction);
    return interaction;
  }

  /** POST /interactions/{id}/{token}/callback */
  answer(id: string, token: string, response: APIInteractionResponse, files: readonly UploadedFile[]): void {
    const interaction = this.byId.get(id);
    if (!interaction || interaction.token !== token) throw unknownInteraction();
    if (interaction.answeredWith !== null) {
      interaction.refusedAnswers++;
      throw alreadyAcknowledged();
    }
    if (this.world.now() - interaction.createdUnixMs > ANSWER_WITHIN_MS) throw unknownInteraction();
    this.take(interaction, response, files);
    interaction.answeredWith = response.type;
    interaction.ackMs = performance.now() - interaction.sentAt;
    const waiters = this.waiters.get(interaction);
    waiters?.acknowledge(interaction);
    if (interaction.original || interaction.choices) waiters?.settle(interaction);
  }

  private take(
    interaction: Interaction,
    response: APIInteractionResponse,
    files: readonly UploadedFile[],
  ): void {
    const data = ("data" in response ? response.data : undefined) as MessageBody | undefined;
    switch (response.type) {
      case InteractionResponseType.ChannelMessageWithSource:
        interaction.ephemeral = ((data?.flags ?? 0) & MessageFlags.Ephemeral) !== 0;
        interaction.original = this.create(interaction, data ?? {}, files, interaction.ephemeral);
        return;
      case InteractionResponseType.DeferredChannelMessageWithSource:
        interaction.ephemeral = ((data?.flags ?? 0) & MessageFlags.Ephemeral) !== 0;
        return;
      case InteractionResponseType.UpdateMessage:
        if (!interaction.pressedOn) throw invalidForm("type", "There is no message to update.");
        this.messages.change(interaction.pressedOn, data ?? {}, files);
        interaction.original = interaction.pressedOn;
        return;
      case InteractionResponseType.DeferredMessageUpdate:
        return;
      case InteractionResponseType.ApplicationCommandAutocompleteResult: {
        const choices = (response.data as { choices?: APIApplicationCommandOptionChoice[] }).choices ?? [];
        checkChoices(choices, focusedType(interaction));
        interaction.choices = choices;
        return;
      }
      default:
        throw invalidForm("type", `Answer type ${response.type} is not offered here.`);
    }
  }

  /** PATCH /webhooks/{application}/{token}/messages/@original (or a follow-up's id) */
  edit(token: string, messageId: string, body: MessageBody, files: readonly UploadedFile[]): StoredMessage {
    const interaction = this.live(token);
    if (messageId !== "@original") {
      const followUp = interaction.followUps.find((each) => each.id === messageId);
      if (!followUp) throw unknownMessage();
      this.messages.change(followUp, body, files);
      return followUp;
    }
    if (interaction.answeredWith === null) throw unknownWebhook();
    if (interaction.answeredWith === InteractionResponseType.DeferredMessageUpdate)
      interaction.original = interaction.pressedOn;
    if (interaction.original) this.messages.change(interaction.original, body, files);
    else interaction.original = this.create(interaction, body, files, interaction.ephemeral);
    this.waiters.get(interaction)?.settle(interaction);
    return interaction.original;
  }

  /** POST /webhooks/{application}/{token} */
  followUp(token: string, body: MessageBody, files: readonly UploadedFile[]): StoredMessage {
    const interaction = this.live(token);
    if (interaction.answeredWith === null) throw unknownWebhook();
    // The first one completes a deferred answer, whoever sees it (documented for the deferral's flags).
    if (
      interaction.answeredWith === InteractionResponseType.DeferredChannelMessageWithSource &&
      !interaction.original
    )
      return this.edit(token, "@original", body, files);
    const message = this.create(interaction, body, files, ((body.flags ?? 0) & MessageFlags.Ephemeral) !== 0);
    interaction.followUps.push(message);
    return message;
  }

  /** GET …/messages/@original */
  original(token: string): StoredMessage {
    const interaction = this.live(token);
    if (!interaction.original) throw unknownMessage();
    return interaction.original;
  }

  private live(token: string): Interaction {
    const interaction = this.byToken.get(token);
    if (!interaction) throw unknownWebhook();
    if (this.world.now() - interaction.createdUnixMs > TOKEN_LIFE_MS) throw invalidWebhookToken();
    return interaction;
  }

  /** A public answer stands in the channel; an ephemeral one only in the interaction. */
  private create(
    interaction: Interaction,
    body: MessageBody,
    files: readonly UploadedFile[],
    ephemeral: boolean,
  ): StoredMessage {
    checkMessage(body, files, ANSWER_FLAGS);
    checkUploads(files, this.messages.limitFor(interaction.channel));
    const place = ephemeral ? { ...interaction.channel, messages: [] } : interaction.channel;
    const flags = (body.flags ?? 0) | (ephemeral ? MessageFlags.Ephemeral : 0);
    return this.messages.store(place, { ...body, flags }, files);
  }
}

/** The type of the option being typed. */
function focusedType({ payload }: Interaction): ApplicationCommandOptionType | null {
  const { data } = (payload ?? {}) as { data?: { options?: { type: number; focused?: boolean }[] } };
  return data?.options?.find((each) => each.focused)?.type ?? null;
}

function checkChoices(
  choices: readonly APIApplicationCommandOptionChoice[],
  type: ApplicationCommandOptionType | null,
): void {
  if (choices.length > 25) throw invalidForm("choices", "At most 25 choices.");
  for (const each of choices) {
    const fits =
      type === ApplicationCommandOptionType.Integer
        ? Number.isSafeInteger(each.value)
        : type === ApplicationCommandOptionType.Number
          ? Number.isFinite(each.value)
          : typeof each.value === "string" && each.value.length > 0;
    if (!fits) throw invalidForm("choices.value", `This is no value for an option of type ${type}.`);
    if (each.name.length < 1 || each.name.length > 100)
      throw invalidForm("choices.name", "Must be between 1 and 100 in length.");
    if (typeof each.value === "string" && each.value.length > 100)
      throw invalidForm("choices.value", "Must be 100 or fewer in length.");
  }
}
