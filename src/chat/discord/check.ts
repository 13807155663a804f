/** Looks over the whole set-up and says, for each thing, that it is right or where to mend it. */
import { type APIGuild, type APIGuildMember, type APIOverwrite, ChannelType, REST } from "discord.js";
import type { Config } from "../../config/config.js";
import { Api } from "./api.js";
import { explain } from "./errors.js";
import { guildPermissions, inviteLink, missingIn, NEEDED } from "./permissions.js";
import type { Place } from "./place.js";
import { type CommandSource, commandBodies, sameCommands } from "./registration.js";
import { allows } from "./roles.js";

/** One thing looked at. */
export interface Finding {
  readonly is: "right" | "note" | "wrong";
  /** What was found, and for what is wrong, where to mend it. */
  readonly sentence: string;
}

export interface CheckOptions {
  readonly config: Config;
  /** Undefined when the environment has none. */
  readonly token: string | undefined;
  readonly source: CommandSource;
}

/** Who the bot is. */
export interface Identity {
  readonly userId: string;
  readonly name: string;
  readonly applicationId: string;
}

/** The findings as lines to print, each with its word. */
export function findingLines(findings: readonly Finding[]): string[] {
  const words = { right: "right", note: "note ", wrong: "WRONG" };
  return findings.map(({ is, sentence }) => `${words[is]}  ${sentence}`);
}

const right = (sentence: string): Finding => ({ is: "right", sentence });
const note = (sentence: string): Finding => ({ is: "note", sentence });
const wrong = (sentence: string): Finding => ({ is: "wrong", sentence });

/** Everything `npm run check` says about Discord, in the order in which to mend it. Never contains the token. */
export async function checkDiscord({ config, token, source }: CheckOptions): Promise<Finding[]> {
  if (token === undefined || token.trim() === "") return [wrong(NO_TOKEN)];
  const { apiUrl, guilds } = config.discord;
  const rest = new REST({ retries: 0, timeout: 10_000, ...(apiUrl === undefined ? {} : { api: apiUrl }) });
  const api = new Api(rest, token.trim());
  try {
    const identity = await identify(api);
    const findings = [
      right(`The token is good: the bot is called ${identity.name}.`),
      note(`Invite it with: ${inviteLink(identity.applicationId)}`),
    ];
    if (guilds.length === 0) findings.push(wrong(NO_GUILDS));
    for (const place of guilds) findings.push(...(await checkPlace(api, identity, place, config, source)));
    return findings;
  } catch (error) {
    return [wrong(explain(error).sentence)];
  }
}

/** One class's server: membership, channel, permissions, roles, commands. */
export async function checkPlace(
  api: Api,
  identity: Identity,
  place: Place,
  config: Config,
  source: CommandSource,
): Promise<Finding[]> {
  const className = config.classes.find((each) => each.id === place.classId)?.name ?? place.classId;
  try {
    const guild = await api.guild(place.guildId);
    const member = await api.member(place.guildId, identity.userId);
    return [
      right(`${className} meets in the server ${guild.name}.`),
      await checkChannel(api, identity, place, guild, member),
      ...checkRoles(place, guild),
      await checkCommands(api, identity, place, source),
    ];
  } catch (error) {
    const invite = `invite it with ${inviteLink(identity.applicationId)}`;
    const fault = explain(error);
    const absent = fault.kind === "gone" || fault.kind === "setting";
    return [
      wrong(
        absent
          ? `${className}: Nightslate is not in the server ${place.guildId}: ${invite}, or correct discord.guilds → guildId.`
          : `${className}: ${fault.sentence}`,
      ),
    ];
  }
}

/**
 * Asks who the token belongs to.
 * @throws what the API throws for a wrong token or no network
 */
async function identify(api: Api): Promise<Identity> {
  const [user, application] = [await api.me(), await api.application()];
  return { userId: user.id, name: user.username, applicationId: application.id };
}

async function checkChannel(
  api: Api,
  { userId }: Identity,
  place: Place,
  guild: APIGuild,
  member: APIGuildMember,
): Promise<Finding> {
  try {
    const channel = await api.channel(place.channelId);
    const name = "name" in channel && channel.name ? `#${channel.name}` : place.channelId;
    if (!("guild_id" in channel) || channel.guild_id !== place.guildId)
      return wrong(
        `The channel ${name} is not in the server ${guild.name}: correct discord.guilds → channelId.`,
      );
    if (channel.type !== ChannelType.GuildText && channel.type !== ChannelType.GuildAnnouncement)
      return wrong(`${name} is no text channel: choose one, and put its id into discord.guilds → channelId.`);
    const overwrites: APIOverwrite[] = channel.permission_overwrites ?? [];
    const missing = missingIn(place.guildId, guild.roles, { ...member, userId }, overwrites);
    if (missing.length === 0)
      return right(`${name}: Nightslate may see it, post, attach pictures and look back.`);
    const words = missing.map((each) => NEEDED[each]).join(", ");
    return wrong(
      `${name}: Nightslate lacks ${words}. In Discord open ${name} → Edit Channel → Permissions, add Nightslate, and allow ${words}.`,
    );
  } catch (error) {
    return wrong(`Class channel ${place.channelId}: ${explain(error).sentence}`);
  }
}

function checkRoles(place: Place, guild: APIGuild): Finding[] {
  const kinds = [
    ["instructorRoleIds", place.instructorRoleIds],
    ["operatorRoleIds", place.operatorRoleIds],
  ] as const;
  const findings = kinds.flatMap(([key, ids]) => ids.map((id) => checkRole(place, guild, key, id)));
  if (place.instructorRoleIds.length === 0 && place.instructorPermission === null)
    findings.push(
      wrong(
        `${guild.name}: nobody can be an instructor: name a role in discord.guilds → instructorRoleIds, or set instructorPermission.`,
      ),
    );
  else if (place.instructorRoleIds.length === 0)
    findings.push(
      note(`${guild.name}: instructors are those with the permission ${place.instructorPermission}.`),
    );
  return findings;
}

function checkRole(place: Place, guild: APIGuild, key: string, id: string): Finding {
  const role = guild.roles.find((each) => each.id === id);
  if (!role)
    return wrong(
      `${guild.name} has no role ${id}: in Server Settings → Roles choose the role's ⋯ → Copy Role ID, and put that into discord.guilds → ${key}.`,
    );
  const held = guildPermissions(guild.id, guild.roles, [id]).toString();
  if (allows(held, place.staffPermission)) return right(`The role ${role.name} sees the staff commands.`);
  return wrong(
    `The role ${role.name} would not see the staff commands: in Server Settings → Roles → ${role.name} → Permissions turn on ${spaced(place.staffPermission)}, or allow the commands for it in Server Settings → Integrations → Nightslate.`,
  );
}

async function checkCommands(
  api: Api,
  { applicationId }: Identity,
  place: Place,
  source: CommandSource,
): Promise<Finding> {
  try {
    const standing = await api.commands(applicationId, place.guildId);
    const wanted = commandBodies(source, place);
    if (sameCommands(wanted, standing)) return right(`All ${wanted.length} commands are registered.`);
    return note(
      standing.length === 0
        ? "The commands are not registered yet: npm start does it."
        : "The commands have changed since they were registered: npm start puts that right.",
    );
  } catch (error) {
    const fault = explain(error);
    if (fault.kind !== "setting") return wrong(fault.sentence);
    return wrong(
      `Nightslate may not have commands here: invite it again with ${inviteLink(applicationId)} (it needs the scope applications.commands).`,
    );
  }
}

/** "ManageMessages" as the settings write it: "Manage Messages". */
function spaced(permission: string): string {
  return permission === "ManageGuild" ? "Manage Server" : permission.replaceAll(/(?<=[a-z])(?=[A-Z])/g, " ");
}

const NO_TOKEN =
  "There is no DISCORD_TOKEN in the environment: open discord.com/developers/applications, your application, Bot, press Reset Token, and start with DISCORD_TOKEN=… npm run check.";
const NO_GUILDS =
  "The configuration names no server: add one under discord.guilds with guildId, channelId and classId (README, “Discord”).";
