/** Servers, channels and members in the shapes of the API. */
import type { APIChannel, APIGuildMember, GatewayGuildCreateDispatchData } from "discord-api-types/v10";
import { ChannelType } from "discord-api-types/v10";
import { madeUnixMs } from "./snowflake.js";
import type { Channel, Guild, Member, World } from "./world.js";

export function apiChannel(channel: Channel): APIChannel {
  if (channel.type === ChannelType.DM)
    return { id: channel.id, type: ChannelType.DM, last_message_id: null, flags: 0 } as unknown as APIChannel;
  if (channel.type === ChannelType.PublicThread) return thread(channel);
  return {
    id: channel.id,
    type: ChannelType.GuildText,
    guild_id: channel.guildId,
    name: channel.name,
    position: 0,
    permission_overwrites: channel.overwrites,
    parent_id: channel.parentId,
    topic: null,
    nsfw: false,
    flags: 0,
  } as unknown as APIChannel;
}

/** A thread has its channel's permissions, so it carries none of its own. */
function thread(channel: Channel): APIChannel {
  return {
    id: channel.id,
    type: channel.type,
    guild_id: channel.guildId,
    name: channel.name,
    parent_id: channel.parentId,
    message_count: channel.messages.length,
    member_count: 1,
    rate_limit_per_user: 0,
    flags: 0,
  } as unknown as APIChannel;
}

export function apiMember(world: World, guild: Guild, member: Member): APIGuildMember {
  const user = world.users.get(member.userId);
  if (!user) throw new Error("a member without a user");
  return {
    user,
    nick: member.nick,
    roles: member.roles,
    joined_at: new Date(madeUnixMs(guild.id)).toISOString(),
    deaf: false,
    mute: false,
    flags: 0,
  } as unknown as APIGuildMember;
}

/** What `GET /guilds/{id}` shows. */
export function apiGuild(world: World, guild: Guild): object {
  return {
    id: guild.id,
    name: guild.name,
    icon: null,
    owner_id: guild.ownerId,
    afk_timeout: 300,
    verification_level: 0,
    default_message_notifications: 0,
    explicit_content_filter: 0,
    roles: [...guild.roles.values()],
    emojis: [],
    stickers: [],
    features: [],
    mfa_level: 0,
    system_channel_flags: 0,
    premium_tier: guild.premiumTier,
    premium_progress_bar_enabled: false,
    preferred_locale: "en-US",
    nsfw_level: 0,
    safety_alerts_channel_id: null,
    approximate_member_count: guild.members.size,
    bot_id: world.bot.id,
  };
}

/** What a GUILD_CREATE event carries for an app without the members intent: only its own member. */
export function guildCreate(world: World, guild: Guild): GatewayGuildCreateDispatchData {
  const own = guild.members.get(world.bot.id);
  return {
    ...apiGuild(world, guild),
    joined_at: new Date(madeUnixMs(guild.id)).toISOString(),
    large: false,
    unavailable: false,
    member_count: guild.members.size,
    voice_states: [],
    members: own ? [apiMember(world, guild, own)] : [],
    channels: guild.channelIds.flatMap((id) => {
      const channel = world.channels.get(id);
      return channel ? [apiChannel(channel)] : [];
    }),
    threads: [],
    presences: [],
    stage_instances: [],
    guild_scheduled_events: [],
    soundboard_sounds: [],
  } as unknown as GatewayGuildCreateDispatchData;
}
