/** What no single key can check: names that point elsewhere in the file must exist there, and identities be distinct. */

/** The keys looked at. */
interface Referring {
  readonly observatory: {
    readonly dome: {
      readonly diameterMetres: number;
      readonly mountOffsetMetres: { readonly north: number; readonly east: number; readonly up: number };
      readonly tubeOffsetMetres: number;
    } | null;
    readonly camera: { readonly filters: readonly { readonly name: string; readonly slot: number }[] };
  };
  readonly tiers: readonly string[];
  readonly staffTier: string;
  readonly classes: readonly {
    readonly id: string;
    readonly tier: string;
    readonly students: readonly Member[];
    readonly instructors: readonly Member[];
    readonly operators: readonly Member[];
  }[];
  readonly discord: { readonly guilds: readonly Place[] };
  readonly room: { readonly classId?: string | undefined };
}

interface Place {
  readonly guildId: string;
  readonly channelId: string;
  readonly classId: string;
  readonly staffPermission: string;
}

interface Member {
  readonly id: string;
}

/** One fault: where, what was found there, and what is allowed. */
export interface ReferenceFault {
  readonly path: (string | number)[];
  readonly found: string | number;
  readonly allowed: string;
}

/** All faults of this kind in a configuration whose keys are each as they should be. */
export function referenceFaults(config: Referring): ReferenceFault[] {
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
    ...repeatedMembers(classes),
    ...tubeOutside(config.observatory.dome),
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

function unless(names: readonly string[], path: (string | number)[], found: string): ReferenceFault[] {
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
): ReferenceFault[] {
  return values.flatMap((found, index) =>
    values.indexOf(found) === index ? [] : [{ path: pathOf(index), found, allowed }],
  );
}

/** A server has one list of commands, so one permission shows the staff commands in it. */
function unlikeStaff(guilds: readonly Place[]): ReferenceFault[] {
  return guilds.flatMap(({ guildId, staffPermission: found }, index) => {
    const first = guilds.find((each) => each.guildId === guildId)?.staffPermission ?? found;
    const path = ["discord", "guilds", index, "staffPermission"];
    const allowed = `${first}, as in the first entry for this server: all entries of a server have the same`;
    return first === found ? [] : [{ path, found, allowed }];
  });
}

/** From outside its dome a telescope has no slit to look through. */
function tubeOutside(dome: Referring["observatory"]["dome"]): ReferenceFault[] {
  if (dome === null) return [];
  const { north, east, up } = dome.mountOffsetMetres;
  const mount = Math.hypot(north, east, up);
  const radius = dome.diameterMetres / 2;
  if (mount + dome.tubeOffsetMetres < radius) return [];
  const offset = mount >= radius ? "mountOffsetMetres" : "tubeOffsetMetres";
  return [
    {
      path: ["observatory", "dome", offset],
      found: offset === "mountOffsetMetres" ? mount : dome.tubeOffsetMetres,
      allowed: `mount and tube within the dome, less than ${radius} m from its centre together`,
    },
  ];
}

/** Within a class one id is one person; an instructor may teach another class under the same id. */
function repeatedMembers(classes: Referring["classes"]): ReferenceFault[] {
  return classes.flatMap((teachingClass, index) => {
    const members = (["students", "instructors", "operators"] as const).flatMap((role) =>
      teachingClass[role].map(({ id }, place) => ({ id, path: ["classes", index, role, place, "id"] })),
    );
    return twice(
      members.map(({ id }) => id),
      (place) => members[place]?.path ?? [],
      "a different id for each person",
    );
  });
}
