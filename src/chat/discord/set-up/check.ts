/** Looks over the whole set-up and says, for each thing, that it is right or where to mend it. */
import {
  type APIChannel,
  type APIGuild,
  type APIGuildMember,
  type APIOverwrite,
  ChannelType,
  REST,
} from "discord.js";
import { commandTable } from "../../../commands/table.js";
import type { Config } from "../../../config/config.js";
import type { SetUpCheck } from "../../surface.js";
import { Api } from "../api.js";
import { restOptions } from "../client.js";
import { explain, GatewaySilent, malformedToken } from "../errors.js";
import type { Place } from "../hear/place.js";
import { checkRoles } from "./check-roles.js";
import { type Finding, note, right, wrong } from "./finding.js";
import { gatewayGreets } from "./gateway.js";
import { notAllowed } from "./keep-commands.js";
import { inviteLink, mayUseCommands, missingIn, NEEDED } from "./permissions.js";
import { type CommandSource, commandBodies, sameCommands } from "./registration.js";

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

/** Discord's part of `npm run check`: token, servers, channels, permissions, roles and commands. */
export async function checkSetUp(config: Config, token: string | undefined): Promise<SetUpCheck> {
  const filters = config.observatory.camera.filters.map((each) => each.name);
  const findings = await checkDiscord({ config, token, source: { table: commandTable, filters } });
  const words = { right: "right", note: "note ", wrong: "WRONG" };
  return {
    lines: findings.map(({ is, sentence }) => `${words[is]}  ${sentence}`),
    ok: findings.every((each) => each.is !== "wrong"),
  };
}

/** Everything `npm run check` says about Discord, in the order in which to mend it. Never contains the token. */
export async function checkDiscord({ config, token, source }: CheckOptions): Promise<Finding[]> {
  if (token === undefined || token.trim() === "")
    return [config.discord.guilds.length === 0 ? note(`Discord is not used. ${NO_TOKEN}`) : wrong(NO_TOKEN)];
  const malformed = malformedToken(token.trim());
  if (malformed !== null) return [wrong(malformed)];
  const { apiUrl, guilds } = config.discord;
  const rest = new REST(restOptions(apiUrl));
  const api = new Api(rest, token.trim());
  try {
    const identity = await identify(api);
    const findings = [
      right(`The token is good: the bot is called ${identity.name}.`),
      note(`Invite it with: ${inviteLink(identity.applicationId)}`),
      await checkGateway(api),
    ];
    if (guilds.length === 0) findings.push(wrong(NO_GUILDS));
    for (const place of guilds) findings.push(...(await checkPlace(api, identity, place, config, source)));
    return findings;
  } catch (error) {
    const { kind, sentence } = explain(error);
    return [wrong(kind === "uncertain" ? `${sentence} ${ONLINE}` : sentence)];
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
      ...(await checkChannel(api, identity, place, guild, member)),
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

/** HTTP can work where web sockets do not. */
async function checkGateway(api: Api): Promise<Finding> {
  try {
    if (await gatewayGreets(await api.gatewayUrl()))
      return right("The live connection to Discord (a web socket) opens.");
    return wrong(new GatewaySilent().message);
  } catch (error) {
    return wrong(explain(error).sentence);
  }
}

async function checkChannel(
  api: Api,
  { userId }: Identity,
  place: Place,
  guild: APIGuild,
  member: APIGuildMember,
): Promise<Finding[]> {
  try {
    const channel = await api.channel(place.channelId);
    const name = "name" in channel && channel.name ? `#${channel.name}` : place.channelId;
    if (!("guild_id" in channel) || channel.guild_id !== place.guildId)
      return [
        wrong(`The channel ${name} is not in the server ${guild.name}: correct discord.guilds → channelId.`),
      ];
    if (channel.type !== ChannelType.GuildText && channel.type !== ChannelType.GuildAnnouncement)
      return [
        wrong(`${name} is no text channel: choose one, and put its id into discord.guilds → channelId.`),
      ];
    return [
      checkOwnPermissions(channel, name, place, guild, { ...member, userId }),
      ...checkStudents(channel, name, place, guild),
    ];
  } catch (error) {
    return [wrong(`Class channel ${place.channelId}: ${explain(error).sentence}`)];
  }
}

function checkOwnPermissions(
  channel: APIChannel,
  name: string,
  place: Place,
  guild: APIGuild,
  member: APIGuildMember & { readonly userId: string },
): Finding {
  const missing = missingIn(place.guildId, guild.roles, member, overwritesOf(channel));
  if (missing.length === 0)
    return right(`${name}: Nightslate may see it, post, attach pictures and look back.`);
  const words = missing.map((each) => NEEDED[each]).join(", ");
  return wrong(
    `${name}: Nightslate lacks ${words}. In Discord open ${name} → Edit Channel → Permissions, add Nightslate, and allow ${words}.`,
  );
}

/** Commands can be forbidden to a whole channel: nobody would be offered any. */
function checkStudents(channel: APIChannel, name: string, place: Place, guild: APIGuild): Finding[] {
  const staff = [...place.instructorRoleIds, ...place.operatorRoleIds].filter((id) => id !== guild.id);
  const others = guild.roles.filter((each) => !staff.includes(each.id) && !each.managed);
  const overwrites = overwritesOf(channel);
  if (others.some(({ id }) => mayUseCommands(place.guildId, guild.roles, [id], overwrites))) return [];
  return [
    wrong(
      `${name}: students may not use commands there. In Discord open ${name} → Edit Channel → Permissions → @everyone (or the students' role), and allow View Channel and Use Application Commands.`,
    ),
  ];
}

function overwritesOf(channel: APIChannel): APIOverwrite[] {
  return ("permission_overwrites" in channel ? channel.permission_overwrites : null) ?? [];
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
    return wrong(fault.kind === "setting" ? notAllowed(applicationId) : fault.sentence);
  }
}

const NO_TOKEN =
  "There is no DISCORD_TOKEN in the environment; to have one, open discord.com/developers/applications, your application, Bot, press Reset Token, and start with DISCORD_TOKEN=… npm run check.";
const ONLINE =
  "See whether this computer is online and a firewall lets it reach discord.com (and, where you set one, discord.apiUrl); then check again.";
const NO_GUILDS =
  "The configuration names no server: add one under discord.guilds with guildId, channelId and classId (config/guides/discord.md).";
