/** What no single key can check: names that point elsewhere in the file must exist there, and identities be distinct. */
import { type Config, configSchema } from "./config.js";
import { type ConfigFault, twice, unless } from "./config-fault.js";
import { discordFaults } from "./discord-section.js";
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
    ...discordFaults(discord.guilds, classIds),
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
