/** The whole product in a process of its own, on the practice telescope, watched while it is under load. */
import { systemClock } from "../../../src/base/clock.js";
import { openLog } from "../../../src/base/log.js";
import { discordSurface } from "../../../src/chat/discord/surface.js";
import { configSchema } from "../../../src/config/config.js";
import { loadConfig } from "../../../src/config/load.js";
import { nightNamed } from "../../../src/sky/night.js";
import { practiceTelescope } from "../../../src/telescope/practice/practice.js";
import type { BotReport } from "../../../src/tools/bench/discord-load.js";
import { start } from "../../../src/wiring/start.js";
import type { Opened } from "./load-stand-in.js";

const [opened, folder] = JSON.parse(process.argv[2] as string) as [Opened, string];
const example = loadConfig("config/tern-hollow.yaml");
const config = configSchema.parse({
  ...example,
  telescope: { ...example.telescope, practice: { ...example.telescope.practice, classmates: false } },
  discord: {
    apiUrl: opened.apiUrl,
    guilds: [
      {
        guildId: opened.guildId,
        channelId: opened.channelId,
        classId: "evening-2",
        instructorRoleIds: [opened.roleId],
      },
    ],
  },
});
const log = openLog(`${folder}/bot.log`);
const night = nightNamed("2026-11-25", config.observatory.site.timeZone);
const running = await start({
  config,
  folder,
  log,
  telescope: practiceTelescope(config, folder, config.telescope.practice.speed),
  startUnixMs: night.startUnixMs + 8 * 3_600_000,
  surfaces: () => [discordSurface({ config, token: opened.token, log, say: () => {} })],
});
await running.connected;
const { desk } = running.services;
const real = systemClock();
const bornMs = new Map<string, number>();
let notices = 0;
let delivered = 0;
let dropped = 0;
let slowestMs = 0;
desk.listen(({ notices: born, events }) => {
  notices += born.length;
  for (const { key } of born) bornMs.set(key, real.now());
  for (const event of events) {
    if (event.type === "notices.dropped") dropped += event.keys.length;
    if (event.type !== "notices.delivered") continue;
    delivered += event.keys.length;
    for (const key of event.keys)
      slowestMs = Math.max(slowestMs, real.now() - (bornMs.get(key) ?? real.now()));
  }
});
process.on("message", () => process.send?.({ report: report() }));
process.send?.({ ready: true });

function report(): BotReport {
  return {
    requests: desk.state.requests.size,
    notices,
    delivered,
    dropped,
    slowestMs,
    residentMegabytes: process.memoryUsage.rss() / 1e6,
  };
}
