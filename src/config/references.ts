/** What no single key can check: names that point elsewhere in the file must exist there, and identities be distinct. */
import { type Config, type ConfigFault, configSchema } from "./config.js";
import { observatoryFaults } from "./observatory-sense.js";
import { whoIsWhoFaults } from "./who-is-who.js";

/** The whole configuration, its keys looked at together as well. */
export const soundConfig = configSchema.superRefine((config, context) => {
  for (const { path, found, allowed } of referenceFaults(config)) {
    context.addIssue({ code: "custom", path, message: allowed, input: found });
  }
});

/** All faults of this kind in a configuration whose keys are each as they should be. */
function referenceFaults(config: Config): ConfigFault[] {
  const { tiers, classes, staffTier, discord, room } = config;
  const { filters } = config.observatory.camera;
  const classIds = classes.map(({ id }) => id);
  return [
    ...unless(tiers, ["staffTier"], staffTier),
    ...classes.flatMap(({ tier }, index) => unless(tiers, ["classes", index, "tier"], tier)),
    ...discord.guilds.flatMap(({ classId }, index) =>
      unless(classIds, ["discord", "guilds", index, "classId"], classId),
    ),
    ...twice(
      discord.guilds.map(({ channelId }) => channelId),
      (index) => ["discord", "guilds", index, "channelId"],
      "a channel of its own for each entry",
    ),
    ...unlikeStaff(discord.guilds),
    ...(room.classId === undefined ? [] : unless(classIds, ["room", "classId"], room.classId)),
    ...twice(tiers, (index) => ["tiers", index], "a different name for each tier"),
    ...twice(classIds, (index) => ["classes", index, "id"], "a different id for each class"),
    ...whoIsWhoFaults(classes),
    ...observatoryFaults(config.observatory),
    ...twice(
      filters.map(({ name }) => name.toLowerCase()),
      (index) => ["observatory", "camera", "filters", index, "name"],
      "a different name for each filter",
    ),
    ...twice(
      filters.map(({ slot }) => slot),
      (index) => ["observatory", "camera", "filters", index, "slot"],
      "a different slot for each filter",
    ),
  ];
}

function unless(names: readonly string[], path: (string | number)[], found: string): ConfigFault[] {
  // An empty list is a fault of its own.
  return names.length === 0 || names.includes(found)
    ? []
    : [{ path, found, allowed: `one of ${names.join(", ")}` }];
}

/** The second and later places of each value that is there more than once. */
function twice<Value extends string | number>(
  values: readonly Value[],
  pathOf: (index: number) => (string | number)[],
  allowed: string,
): ConfigFault[] {
  return values.flatMap((found, index) =>
    values.indexOf(found) === index ? [] : [{ path: pathOf(index), found, allowed }],
  );
}

/** A server has one list of commands, so one permission shows the staff commands in it. */
function unlikeStaff(guilds: Config["discord"]["guilds"]): ConfigFault[] {
  return guilds.flatMap(({ guildId, staffPermission: found }, index) => {
    const first = guilds.find((each) => each.guildId === guildId)?.staffPermission ?? found;
    const path = ["discord", "guilds", index, "staffPermission"];
    const allowed = `${first}, as in the first entry for this server: all entries of a server have the same`;
    return first === found ? [] : [{ path, found, allowed }];
  });
}
