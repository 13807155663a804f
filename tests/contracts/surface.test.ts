/** The terminal, the room and Discord keep one contract. */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { PassThrough } from "node:stream";
import { silentLog } from "../../src/base/log.js";
import type { SurfaceHost } from "../../src/chat/surface.js";
import { TerminalSurface } from "../../src/chat/terminal/surface.js";
import { loadConfig } from "../../src/config/load.js";
import { findMember } from "../../src/config/members.js";
import { ManualClock } from "../../src/tools/manual-clock.js";
import { noticeFor, parcelOf } from "../chat/discord/notices.js";
import { given, setUp } from "../chat/discord/set-up.js";
import { openRoom } from "../chat/room/open-room.js";
import { type Commands, keepsTheContract, type Tenant } from "./surface.js";

const config = loadConfig("config/tern-hollow.yaml");

async function terminal(commands: Commands): Promise<Tenant> {
  const folder = mkdtempSync(join(tmpdir(), "contract-"));
  const [input, output] = [new PassThrough(), new PassThrough()];
  let text = "";
  output.on("data", (chunk) => (text += chunk));
  const asker = findMember(config, "terminal", "mira");
  const surface = new TerminalSurface({
    ...{ input, output, asker, interactive: false, timeZone: "UTC" },
    findAsker: () => asker,
    onLeave: () => {},
  });
  const host: Partial<SurfaceHost> = {
    ...{ clock: new ManualClock(0), log: silentLog, dataFolder: folder },
    welcome: async () => {},
    nameFor: () => "someone",
  };
  await surface.start(commands.over(host as SurfaceHost));
  const shown = async (): Promise<string> => {
    await new Promise<void>((done) => setImmediate(done));
    await surface.idle();
    await new Promise<void>((done) => setImmediate(done));
    return text;
  };
  return {
    surface,
    shown,
    ask: () => {
      input.write("/when\n");
      return shown();
    },
    tell: (title, maybeSent = false) => {
      const notice = { key: title, title, lines: [], people: [], classId: asker.classId, attachment: null };
      return surface.deliver({ key: title, notices: [notice], maybeSent } as never);
    },
    close: async () => {
      await surface.stop();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

async function room(commands: Commands): Promise<Tenant> {
  const here = await openRoom({ host: (host) => commands.over(host) });
  const page = await here.enter("Rook");
  const told = new Set<string>();
  let asked = 0;
  return {
    surface: here.room,
    ask: async (arrives = 1) => {
      const id = `again-${++asked}`;
      for (let time = 1; time < arrives; time++) page.send({ t: "line", id, line: "/when" });
      await page.run("/when", id);
      await page.until(() => commands.calls.length >= arrives);
      return JSON.stringify(page.heard.filter((each) => each.t === "reply").at(-1));
    },
    // The journal is the room's log: what is stored there is on its way.
    tell: async (title) => {
      if (!told.has(title))
        await here.happen({ type: "announcement.made", classId: "evening-2", text: title, by: "room:quill" });
      told.add(title);
      return here.room.deliver(parcelOf(noticeFor({ id: "evening-2" } as never, { title })));
    },
    shown: async () => {
      await page.until(() => page.notices.length > 0);
      return page.notices.map((each) => JSON.stringify(each.lines)).join("\n");
    },
    close: here.close,
  };
}

async function discord(commands: Commands): Promise<Tenant> {
  const here = await setUp({ autoStart: false });
  await here.surface.start(commands.over(here.host));
  const { guild, channel } = given(here.classes[0]);
  const mira = here.standIn.join(guild, "mira");
  const notices = new Map<string, ReturnType<typeof noticeFor>>();
  return {
    surface: here.surface,
    ask: async (arrives = 1) => {
      const asked = await mira.slash("when", {}, { deliveries: arrives }).settled;
      return JSON.stringify(asked.original);
    },
    tell: (title, maybeSent = false) => {
      const notice = notices.get(title) ?? noticeFor(channel, { title });
      notices.set(title, notice);
      return here.surface.deliver({ ...parcelOf(notice), maybeSent });
    },
    shown: async () => JSON.stringify(channel.messages.map(({ content }) => content)),
    trouble: {
      passing: () =>
        here.standIn.faults.plant("before", "POST", /^\/channels\/\d+\/messages$/, {
          do: "status",
          status: 500,
        }),
      forGood: () =>
        notices.set(
          "Second",
          noticeFor({ ...channel, id: "123456789012345678" }, { title: "Second", classId: "last-term" }),
        ),
    },
    close: here.stop,
  };
}

keepsTheContract("the terminal", terminal);
keepsTheContract("the room", room);
keepsTheContract("Discord", discord);
