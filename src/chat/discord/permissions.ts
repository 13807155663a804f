/** What Nightslate needs in a class channel, and what it has there. */
import {
  type APIGuildMember,
  type APIOverwrite,
  type APIRole,
  OverwriteType,
  PermissionsBitField,
  type PermissionsString,
} from "discord.js";

/** Exactly what the invite link asks for, with the words of the server's settings. */
export const NEEDED = {
  ViewChannel: "View Channel",
  SendMessages: "Send Messages",
  EmbedLinks: "Embed Links",
  AttachFiles: "Attach Files",
  ReadMessageHistory: "Read Message History",
} as const satisfies Partial<Record<PermissionsString, string>>;

export type NeededPermission = keyof typeof NEEDED;

const NEEDED_NAMES = Object.keys(NEEDED) as NeededPermission[];

/** The link that invites the bot with just these permissions and its commands. */
export function inviteLink(applicationId: string): string {
  const query = new URLSearchParams({
    client_id: applicationId,
    scope: "bot applications.commands",
    permissions: new PermissionsBitField(NEEDED_NAMES).bitfield.toString(),
  });
  return `https://discord.com/oauth2/authorize?${query.toString()}`;
}

/** What is missing in a channel, computed as documented: role permissions, then the channel's overwrites. */
export function missingIn(
  guildId: string,
  roles: readonly APIRole[],
  member: Pick<APIGuildMember, "roles"> & { readonly userId: string },
  overwrites: readonly APIOverwrite[],
): NeededPermission[] {
  const held = new PermissionsBitField(guildPermissions(guildId, roles, member.roles));
  if (held.has("Administrator")) return [];
  const layers = [
    overwrites.filter((each) => each.id === guildId),
    overwrites.filter((each) => each.type === OverwriteType.Role && member.roles.includes(each.id)),
    overwrites.filter((each) => each.type === OverwriteType.Member && each.id === member.userId),
  ];
  for (const layer of layers) {
    held.remove(layer.map((each) => BigInt(each.deny))).add(layer.map((each) => BigInt(each.allow)));
  }
  return NEEDED_NAMES.filter((name) => !held.has(name));
}

/** Permissions in the server as a whole: those of @everyone and of each role held. */
export function guildPermissions(
  guildId: string,
  roles: readonly APIRole[],
  held: readonly string[],
): bigint {
  return roles
    .filter((role) => role.id === guildId || held.includes(role.id))
    .reduce((sum, role) => sum | BigInt(role.permissions), 0n);
}
