/** The section `discord` of the configuration: servers, channels and roles, and what no single key of it shows. */
import { z } from "zod";
import { type ConfigFault, twice, unless } from "./config-fault.js";

const snowflake = z.string().regex(/^\d{15,22}$/, "a Discord id: 17 to 20 digits");
/** Permissions of a Discord server that can stand for a role here; names as in its role settings. */
const discordPermission = z.enum([
  "Administrator",
  "ManageGuild",
  "ManageChannels",
  "ManageMessages",
  "ManageEvents",
  "ModerateMembers",
]);
/** @param classId how a class is named */
export const discordSection = (classId: z.ZodString) =>
  z.strictObject({
    /** For a proxy or a stand-in; must end in /api. */
    apiUrl: z
      .url()
      .regex(/^https?:\/\/.+\/api$/, "an address that ends in /api, such as http://127.0.0.1:8080/api")
      .optional(),
    guilds: z
      .array(
        z.strictObject({
          guildId: snowflake,
          classId,
          channelId: snowflake,
          instructorRoleIds: z.array(snowflake).default([]),
          operatorRoleIds: z.array(snowflake).default([]),
          /** Whoever holds this is an instructor too, whatever their roles; null: roles alone decide. */
          instructorPermission: discordPermission.nullable().default("ManageGuild"),
          /** Staff commands are shown to those who hold this; give it to the instructors' and operators' roles. */
          staffPermission: discordPermission.default("ManageMessages"),
        }),
      )
      .default([]),
  });

export type Guild = z.output<ReturnType<typeof discordSection>>["guilds"][number];

/** Each entry has a class that exists and a channel of its own; those of one server agree. */
export function discordFaults(guilds: readonly Guild[], classIds: readonly string[]): ConfigFault[] {
  return [
    ...guilds.flatMap(({ classId }, index) =>
      unless(classIds, ["discord", "guilds", index, "classId"], classId),
    ),
    ...twice(
      guilds.map(({ channelId }) => channelId),
      (index) => ["discord", "guilds", index, "channelId"],
      "a channel of its own for each entry",
    ),
    ...unlikeStaff(guilds),
  ];
}

/** A server has one list of commands, so one permission shows the staff commands in it. */
function unlikeStaff(guilds: readonly Guild[]): ConfigFault[] {
  return guilds.flatMap(({ guildId, staffPermission: found }, index) => {
    const first = guilds.find((each) => each.guildId === guildId)?.staffPermission ?? found;
    const path = ["discord", "guilds", index, "staffPermission"];
    const allowed = `${first}, as in the first entry for this server: all entries of a server have the same`;
    return first === found ? [] : [{ path, found, allowed }];
  });
}
