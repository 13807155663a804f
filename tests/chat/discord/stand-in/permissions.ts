/** Who may do what, computed as documented ("Permissions": base permissions, then channel overwrites). */
import { OverwriteType, PermissionFlagsBits } from "discord-api-types/v10";
import { missingAccess, missingPermissions } from "./api-error.js";
import type { Channel, Guild, World } from "./world.js";

const ALL = Object.values(PermissionFlagsBits).reduce((sum, bit) => sum | bit, 0n);

/** What a member may do in the server as a whole. */
export function guildPermissions(guild: Guild, userId: string): bigint {
  if (guild.ownerId === userId) return ALL;
  const member = guild.members.get(userId);
  if (!member) return 0n;
  const held = [guild.id, ...member.roles].reduce(
    (sum, id) => sum | BigInt(guild.roles.get(id)?.permissions ?? 0),
    0n,
  );
  return held & PermissionFlagsBits.Administrator ? ALL : held;
}

/** What a member may do in one channel. */
export function channelPermissions(guild: Guild, channel: Channel, userId: string): bigint {
  const base = guildPermissions(guild, userId);
  if (base === ALL) return ALL;
  const roles = guild.members.get(userId)?.roles ?? [];
  const everyone = channel.overwrites.filter((each) => each.id === guild.id);
  const ofRoles = channel.overwrites.filter(
    (each) => each.type === OverwriteType.Role && each.id !== guild.id && roles.includes(each.id),
  );
  const ofMember = channel.overwrites.filter(
    (each) => each.type === OverwriteType.Member && each.id === userId,
  );
  return [everyone, ofRoles, ofMember].reduce((sum, layer) => {
    const denied = layer.reduce((bits, each) => bits | BigInt(each.deny), 0n);
    const allowed = layer.reduce((bits, each) => bits | BigInt(each.allow), 0n);
    return (sum & ~denied) | allowed;
  }, base);
}

/**
 * Refuses unless the bot may do this in the channel.
 * @throws {ApiError} 50001 when it cannot see the channel, 50013 when it lacks a permission there
 */
export function requireInChannel(world: World, channel: Channel, needed: bigint): void {
  if (channel.guildId === null) return;
  const guild = world.guilds.get(channel.guildId);
  if (!guild?.members.has(world.bot.id)) throw missingAccess();
  const held = channelPermissions(guild, channel, world.bot.id);
  if (!(held & PermissionFlagsBits.ViewChannel)) throw missingAccess();
  if ((held & needed) !== needed) throw missingPermissions();
}

/** Whether the bot holds a permission in the channel; in direct messages it holds them all. */
export function holdsInChannel(world: World, channel: Channel, needed: bigint): boolean {
  const guild = channel.guildId === null ? undefined : world.guilds.get(channel.guildId);
  return !guild || (channelPermissions(guild, channel, world.bot.id) & needed) === needed;
}
