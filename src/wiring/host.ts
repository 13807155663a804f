/** What every surface is given: commands to run, suggestions, names, the board. */
import type { Log } from "../base/log.js";
import { Refusal } from "../base/refusal.js";
import type { SurfaceHost, Typing } from "../chat/surface.js";
import type { Asker, Call } from "../commands/command.js";
import { dispatch, refusedReply, replyAtSite } from "../commands/dispatch.js";
import { joiningAt, nameFor } from "../commands/people/people.js";
import { suggest } from "../commands/read/suggest.js";
import { understand } from "../commands/read/understand.js";
import type { Reply } from "../commands/reply.js";
import type { Services } from "../commands/services.js";
import { commandTable } from "../commands/table.js";
import { boardFor } from "../notices/board.js";
import type { Address } from "../queue/request.js";

/** The host of all surfaces. */
export function hostFor(services: Services, log: Log, dataFolder: string): SurfaceHost {
  const run = (call: Call): Promise<Reply> => dispatch(call, services);
  return {
    services,
    clock: services.clock,
    log,
    dataFolder,
    run,
    runText: (line, of) => runText(line, of, services, run),
    suggest: (command, option, typed, asker) => suggest(command, option, typed, asker, services),
    welcome: (asker, home) => welcome(services, asker, home),
    nameFor: (personId, classId) => nameFor(personId, classId, services.desk.state, services.config),
    board: (classId) => boardFor(services, classId),
  };
}

async function runText(
  line: string,
  of: Typing,
  services: Services,
  run: (call: Call) => Promise<Reply>,
): Promise<Reply> {
  try {
    return await run({ ...understand(line, commandTable, services), ...of });
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    return replyAtSite(refusedReply(error), services);
  }
}

/** Journals a person once, and again only when name, role, class or home changed. */
async function welcome(services: Services, asker: Asker, home: Address): Promise<void> {
  const { desk, config } = services;
  await desk.act((state) => [joiningAt(home, state, asker, config) ?? []].flat(), { by: asker.id });
}
