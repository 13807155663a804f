/** Whether someone who writes outside a server is (still) in a class, asked of the platform each time. */
import type { APIUser } from "discord.js";
import { Refusal } from "../../../base/refusal.js";
import { explain } from "../errors.js";
import type { Kit } from "../kit.js";
import { guildPermissions } from "../set-up/permissions.js";
import { askerOf, type Present } from "./asker.js";
import { personIdOf } from "./place.js";

export class ClassFinder {
  constructor(private readonly kit: Kit) {}

  /**
   * The class someone is in, their last one first; null when in none.
   * @throws {Refusal} code "unconfirmed" when a server that Nightslate may not look into could be theirs
   */
  async find(user: APIUser): Promise<Present | null> {
    const { api, places, host } = this.kit;
    const lastClass = host.services.desk.state.people.get(personIdOf(user.id))?.classId;
    const inOrder = [...places].sort(
      (a, b) => Number(b.classId === lastClass) - Number(a.classId === lastClass),
    );
    let unseen = false;
    for (const place of inOrder) {
      try {
        const member = await api.member(place.guildId, user.id);
        const guild = await api.guild(place.guildId);
        const isOwner = guild.owner_id === user.id;
        const held = isOwner ? -1n : guildPermissions(guild.id, guild.roles, member.roles);
        const permissions = BigInt.asUintN(60, held).toString();
        return { asker: askerOf(user, member, permissions, place), place };
      } catch (error) {
        const { kind } = explain(error);
        if (kind !== "gone" && kind !== "setting") throw error;
        unseen ||= kind === "setting";
      }
    }
    if (unseen)
      throw new Refusal(
        "unconfirmed",
        "Discord could not confirm your class; type the command in your class's channel.",
      );
    return null;
  }
}
