/** What Nightslate needs in a class channel, and what it has there. */
import {
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

/** Someone's roles; `userId` where the channel may name the person too. */
interface Holder {
  readonly roles: readonly string[];
  readonly userId?: string;
}

/** What is missing in a channel. */
export function missingIn(
  guildId: string,
  roles: readonly APIRole[],
  holder: Holder,
  overwrites: readonly APIOverwrite[],
): NeededPermission[] {
  const held = channelPermissions(guildId, roles, holder, overwrites);
  return NEEDED_NAMES.filter((name) => !held.has(name));
}

/** Whether whoever holds just these roles is offered commands in a channel. */
export function mayUseCommands(
  guildId: string,
  roles: readonly APIRole[],
  held: readonly string[],
  overwrites: readonly APIOverwrite[],
): boolean {
  return channelPermissions(guildId, roles, { roles: held }, overwrites).has([
    "ViewChannel",
    "UseApplicationCommands",
  ]);
}

/** Computed as documented: role permissions, then the channel's overwrites. Administrators hold everything. */
function channelPermissions(
  guildId: string,
  roles: readonly APIRole[],
  holder: Holder,
  overwrites: readonly APIOverwrite[],
): PermissionsBitField {
  const held = new PermissionsBitField(guildPermissions(guildId, roles, holder.roles));
  if (held.has("Administrator")) return held;
  const others = overwrites.filter((each) => each.id !== guildId);
  const layers = [
    overwrites.filter((each) => each.id === guildId),
    others.filter((each) => each.type === OverwriteType.Role && holder.roles.includes(each.id)),
    others.filter((each) => each.type === OverwriteType.Member && each.id === holder.userId),
  ];
  for (const layer of layers) {
    held.remove(layer.map((each) => BigInt(each.deny))).add(layer.map((each) => BigInt(each.allow)));
  }
  return held;
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
