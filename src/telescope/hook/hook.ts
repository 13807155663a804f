/** The hook as the program starts it: real time, the secret both ends know, and a port of its own. */
import type { FastifyInstance } from "fastify";
import { Refusal } from "../../base/refusal.js";
import type { Config } from "../../config/config.js";
import { openFitsFrames } from "../frames/fits-frames.js";
import type { LinkHost, Telescope } from "../link.js";
import { HookLink } from "./link.js";
import { buildListener, type Conversation } from "./listener.js";
import { readSecret } from "./secret.js";

const BYTES_PER_MEGABYTE = 1_000_000;

/**
 * Opens the frames' folder inside `dataFolder`.
 * @throws {Refusal} when there is no secret that can be used
 */
export function hookTelescope(config: Config, dataFolder: string): Telescope {
  const { hook } = config.telescope;
  const secret = readSecret(hook.secretFile);
  const frames = openFitsFrames(config, dataFolder);
  const listen = async (conversation: Conversation, { clock, log }: LinkHost) => {
    const largestFrame = hook.largestFrameMegabytes * BYTES_PER_MEGABYTE;
    const web = buildListener({ secret, clock, log, conversation, largestFrame });
    await listenOn(web, hook);
    log.info({ host: hook.host, port: hook.port }, "the telescope's hook listens");
    return () => web.close();
  };
  const pictures = { store: frames, folder: hook.framesFolder };
  return {
    speed: 1,
    link: () => new HookLink({ pictures, frames, listen }),
    begin: () => () => {},
  };
}

/** @throws {Refusal} when it cannot be listened there */
export async function listenOn(
  web: Pick<FastifyInstance, "listen">,
  { host, port }: Config["telescope"]["hook"],
): Promise<void> {
  try {
    await web.listen({ host, port });
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    throw new Refusal(
      "no-port",
      `The telescope's hook cannot listen at ${host}:${port} (${code}): set telescope.hook.host and port to what is free on this machine.`,
      { cause: error },
    );
  }
}
