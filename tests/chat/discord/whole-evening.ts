/** The whole product on the stand-in: classes with a channel and staff each, nobody asking but the test, small frames. */
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { silentLog } from "../../../src/base/log.js";
import { discordSurface } from "../../../src/chat/discord/surface.js";
import { type Config, configSchema } from "../../../src/config/config.js";
import { nightNamed } from "../../../src/sky/night.js";
import { practiceTelescope } from "../../../src/telescope/practice/practice.js";
import { type Running, start } from "../../../src/wiring/start.js";
import { type ClassOnDiscord, configFor } from "./set-up.js";
import { type StandIn, startStandIn } from "./stand-in/stand-in.js";

export interface WholeEvening {
  readonly standIn: StandIn;
  readonly running: Running;
  /** In the order in which they were named; their staff role is the instructor's and the operator's. */
  readonly classes: readonly ClassOnDiscord[];
  end(): Promise<void>;
}

/** @param speed of the practice telescope's clock */
export async function wholeEvening(classIds: readonly string[], speed: number): Promise<WholeEvening> {
  const standIn = await startStandIn();
  const classes = classIds.map((classId) => {
    const guild = standIn.world.addGuild(`Server of ${classId}`);
    const channel = standIn.world.addChannel(guild, "telescope");
    const staff = standIn.world.addRole(guild, "Instructor", 1n << 13n).id;
    return { classId, guild, channel, instructorRoleId: staff, operatorRoleId: staff };
  });
  const config = quietConfig(configFor(standIn.apiUrl, classes));
  const folder = mkdtempSync(join(tmpdir(), "nightslate-evening-"));
  const night = nightNamed("2026-11-25", config.observatory.site.timeZone);
  const running = await start({
    config,
    folder,
    log: silentLog,
    telescope: practiceTelescope(config, folder, speed),
    startUnixMs: night.startUnixMs + 8 * 3_600_000,
    surfaces: () => [discordSurface({ config, token: standIn.token, log: silentLog, say: () => {} })],
  });
  await running.connected;
  const end = async (): Promise<void> => {
    await running.stop();
    await standIn.stop();
  };
  return { standIn, running, classes, end };
}

function quietConfig(config: Config): Config {
  const { observatory, telescope } = config;
  return configSchema.parse({
    ...config,
    observatory: { ...observatory, camera: { ...observatory.camera, widthPixels: 256, heightPixels: 256 } },
    telescope: { ...telescope, practice: { ...telescope.practice, classmates: false } },
  });
}
