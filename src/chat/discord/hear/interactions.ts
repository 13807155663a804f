/** What people do in the app: commands, keystrokes, buttons. Each is acknowledged, acted on once, answered. */
import {
  type APIApplicationCommandInteraction,
  type APIChatInputApplicationCommandInteraction,
  type APIGuildMember,
  type APIInteraction,
  type APIMessageComponentInteraction,
  ApplicationCommandType,
  InteractionType,
} from "discord.js";
import { button, type Invocation } from "../../../base/button.js";
import { Refusal } from "../../../base/refusal.js";
import type { CommandSpec, GiveFile, RawOptions } from "../../../commands/command.js";
import { isMine } from "../../../commands/people/people.js";
import { mayUse } from "../../../commands/people/roles.js";
import type { Reply } from "../../../commands/reply.js";
import type { Api } from "../api.js";
import { frameFiles } from "../deliver/attachments.js";
import { explain } from "../errors.js";
import type { Kit } from "../kit.js";
import { UPLOAD_BYTES } from "../limits.js";
import { answer, isEphemeral } from "./answer-in-time.js";
import { askerOf, type Present, presentIn, userOf } from "./asker.js";
import { AttachedFiles } from "./attached-files.js";
import { answerAutocomplete } from "./autocomplete.js";
import { readButton } from "./buttons.js";
import { ClassFinder } from "./class-finder.js";
import { RELOAD, readInteractionOptions } from "./command-options.js";
import { homeOf, type Place, personIdOf } from "./place.js";
import { renderReply } from "./render-reply.js";
import { WrongPlace } from "./wrong-place.js";

/** A person in a text, as the app writes it. */
const MENTION = /<@!?(\d{15,22})>/g;
/** What a role is worth is known when the person speaks. */
const NO_PERMISSIONS = "0";
/** So many interactions are remembered as seen: a delivery of the same one again comes within minutes. */
const SEEN = 5_000;

export class Interactions {
  private readonly seen = new Set<string>();
  private readonly underWay = new Set<Promise<void>>();

  constructor(private readonly kit: Kit) {}

  /** Takes one delivery; a second delivery of the same interaction is ignored. */
  take(interaction: APIInteraction): void {
    if (this.seen.has(interaction.id)) return;
    this.seen.add(interaction.id);
    if (this.seen.size > SEEN) this.seen.delete(this.seen.values().next().value as string);
    const work = this.handle(interaction).catch((error: unknown) => {
      const { code, sentence } = explain(error);
      const reason = error instanceof Error ? error.name : "unknown";
      this.kit.log.error({ code, reason }, `an interaction was not answered: ${sentence}`);
    });
    this.underWay.add(work);
    void work.finally(() => this.underWay.delete(work));
  }

  /** Resolves when everything under way has been answered. */
  async settled(): Promise<void> {
    await Promise.all(this.underWay);
  }

  private async handle(interaction: APIInteraction): Promise<void> {
    switch (interaction.type) {
      case InteractionType.ApplicationCommand:
        if (isChatInput(interaction)) await this.command(interaction);
        return;
      case InteractionType.ApplicationCommandAutocomplete:
        return answerAutocomplete(this.kit, interaction);
      case InteractionType.MessageComponent:
        return this.press(interaction);
      default:
        return;
    }
  }

  private command(interaction: APIChatInputApplicationCommandInteraction): Promise<void> {
    const { name } = interaction.data;
    const spec = this.kit.source.table.find((each) => each.name === name);
    return this.respond(interaction, spec?.slow === true, false, async (present) => {
      if (!spec) throw new Refusal("stale-command", `/${name.slice(0, 32)} is no longer offered. ${RELOAD}`);
      const options = readInteractionOptions(spec, interaction.data.options);
      if (mayUse(present.asker.role, spec)) await this.welcomeMentioned(spec, options, present.place);
      const { received, host } = this.kit;
      const files = new AttachedFiles(interaction, received, host.services.config.discord.apiUrl);
      try {
        return await this.run(spec, { command: name, options }, present, interaction, files.give);
      } finally {
        await files.drop();
      }
    });
  }

  private press(interaction: APIMessageComponentInteraction): Promise<void> {
    const press = readButton(interaction.data.custom_id);
    const spec = this.kit.source.table.find((each) => each.name === press?.command);
    const updates = isEphemeral(interaction.message.flags);
    const isTheirs = press !== null && (press.onlyFor ?? userOf(interaction)?.id) === userOf(interaction)?.id;
    return this.respond(
      interaction,
      spec?.slow === true && isTheirs,
      updates && isTheirs,
      async (present) => {
        if (!press || !spec)
          throw new Refusal(
            "stale-button",
            "This button is from an earlier version: type the command instead.",
          );
        if (!isTheirs)
          throw new Refusal("not-yours", "This button belongs to someone else; /mine shows your requests.");
        return this.run(spec, press, present, interaction);
      },
    );
  }

  /** The reply, with a button that asks the same again where the answer ages. */
  private async run(
    spec: CommandSpec,
    { command, options }: Invocation,
    present: Present,
    interaction: APIInteraction,
    giveFile?: GiveFile,
  ): Promise<Reply> {
    const { asker, place } = present;
    const onceKey = `discord:${interaction.id}`;
    const call = { command, options, asker, from: homeOf(place), onceKey };
    const reply = await this.kit.host.run(giveFile ? { ...call, giveFile } : call);
    if (reply.tone === "refused") this.refuseOwnElsewhere(requestIn(spec, options), present);
    if (!spec.ages || reply.tone === "refused") return reply;
    const refresh = button("Refresh", command, options, asker.id);
    return { ...reply, actions: [...(reply.actions ?? []), refresh] };
  }

  /** Establishes who asks, runs the work for them, and shows what comes of it. */
  private async respond(
    interaction: APIApplicationCommandInteraction | APIMessageComponentInteraction,
    slow: boolean,
    updates: boolean,
    run: (present: Present) => Promise<Reply>,
  ): Promise<void> {
    const { host } = this.kit;
    let classId = "";
    let elsewhere: WrongPlace | null = null;
    const work = async (): Promise<Reply> => {
      try {
        const present = await this.presence(interaction);
        classId = present.place.classId;
        await host.welcome(present.asker, homeOf(present.place));
        return await run(present);
      } catch (error) {
        if (error instanceof WrongPlace) elsewhere = error;
        return this.excuse(error);
      }
    };
    await answer(this.kit, {
      key: interaction,
      userId: userOf(interaction)?.id ?? "",
      slow,
      updates,
      work,
      render: async (reply) =>
        elsewhere?.outgoing() ??
        renderReply(reply, {
          frames: await frameFiles(reply, host.dataFolder),
          nameOf: (personId) => host.nameFor(personId, classId),
          uploadBytes: interaction.attachment_size_limit ?? (UPLOAD_BYTES[0] as number),
        }),
    });
  }

  /** In a server the platform says who is there; in a direct message the class must be asked. */
  private async presence(interaction: APIInteraction): Promise<Present> {
    const { places, host } = this.kit;
    if (interaction.guild_id !== undefined) {
      const present = presentIn(interaction, places, host.services.desk.state);
      if (present) return present;
      throw new Refusal(
        "unknown-server",
        "No class is set up for this server: your instructor adds it in the configuration under discord.guilds.",
      );
    }
    const user = userOf(interaction);
    const present = user && (await new ClassFinder(this.kit).find(user));
    if (present) return present;
    throw new Refusal(
      "left-server",
      "You are no longer in the class's server: ask your instructor for an invitation, then try again there.",
    );
  }

  /** Who is mentioned in a list of people and has not spoken yet is made known, so that a group can be set. */
  private async welcomeMentioned(spec: CommandSpec, options: RawOptions, place: Place): Promise<void> {
    const { api, host } = this.kit;
    const lists = spec.options.filter((each) => each.completes === "people").map(({ name }) => options[name]);
    const mentioned = lists.flatMap((text) => [...String(text ?? "").matchAll(MENTION)].map(([, id]) => id));
    for (const userId of new Set(mentioned)) {
      if (!userId || host.services.desk.state.people.has(personIdOf(userId))) continue;
      const member = await memberOrNull(api, place.guildId, userId);
      if (!member || member.user.bot) continue;
      await host.welcome(askerOf(member.user, member, NO_PERMISSIONS, place), homeOf(place));
    }
  }

  /** What was refused about one's own request of another class is answered where that class meets. */
  private refuseOwnElsewhere(number: number, { asker, place }: Present): void {
    const { host, places } = this.kit;
    const request = host.services.desk.state.requests.get(number);
    if (!request || request.classId === place.classId || !isMine(request, asker.id)) return;
    const home = places.find((each) => each.classId === request.classId);
    if (home) throw WrongPlace.elsewhere(home);
  }

  private excuse(error: unknown): Reply {
    const said = error instanceof Refusal;
    if (!said) {
      const { code } = explain(error);
      this.kit.log.error({ code, reason: (error as Error).name }, "a command failed before it ran");
    }
    const line = said ? error.message : "Discord did not say who you are just now; try again in a minute.";
    return { tone: "refused", title: "Not done", lines: [[line]] };
  }
}

/** Nobody is mentioned who is not in the server: a typing error in a number, or someone who has left. */
async function memberOrNull(api: Api, guildId: string, userId: string): Promise<APIGuildMember | null> {
  try {
    return await api.member(guildId, userId);
  } catch (error) {
    if (explain(error).kind === "gone") return null;
    throw error;
  }
}

/** The number of the request that options name; NaN for none. */
function requestIn(spec: CommandSpec, options: RawOptions): number {
  const option = spec.options.find((each) => each.kind === "request" && options[each.name] !== undefined);
  return Number(option && options[option.name]);
}

function isChatInput(
  interaction: APIApplicationCommandInteraction,
): interaction is APIChatInputApplicationCommandInteraction {
  return interaction.data.type === ApplicationCommandType.ChatInput;
}
