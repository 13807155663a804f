/** Discord as one of the places where people talk: starts, goes on trying while it cannot be reached, stops. */
import type { CallOff, Clock } from "../../base/clock.js";
import type { Log } from "../../base/log.js";
import { Refusal } from "../../base/refusal.js";
import { type Millis, SECOND, type Seconds } from "../../base/units.js";
import type { CommandSpec } from "../../commands/command.js";
import type { Config } from "../../config/config.js";
import type { Delivery, Parcel, Surface, SurfaceHost } from "../surface.js";
import { explain } from "./errors.js";
import { DISCORD } from "./place.js";
import { Session } from "./session.js";

export interface DiscordSettings {
  readonly config: Config;
  /** From the environment; never printed, logged or stored. */
  readonly token: string;
  readonly log: Log;
  /** Tells the operator what to know or do. */
  readonly say: (line: string) => void;
  readonly table: readonly CommandSpec[];
  /** Real time, for pacing; tests move it by hand. */
  readonly realClock: Clock;
  /** Longest wait for the answer to one request; ten seconds unless given. */
  readonly timeoutMs?: Millis;
}

/** Between trials to log in while the platform cannot be reached; the last is repeated. */
const LOGIN_DELAYS: readonly Seconds[] = [2, 5, 15, 60];

export class DiscordSurface implements Surface {
  readonly name = DISCORD;
  readonly merges = true;
  private session: Session | null = null;
  private nextTrial: CallOff | null = null;
  private stopped = false;

  constructor(private readonly settings: DiscordSettings) {}

  /**
   * Logs in, checks the set-up, registers commands, shows the boards. While the platform cannot be reached
   * it goes on trying by itself, and the rest of Nightslate works.
   * @throws {Refusal} code "discord-token" when the token is wrong
   */
  async start(host: SurfaceHost): Promise<void> {
    await this.tryToStart(host, 0);
  }

  async deliver(parcel: Parcel): Promise<Delivery> {
    if (!this.session)
      return { result: "retry", afterMs: 5 * SECOND, reason: "not connected to Discord yet" };
    return this.session.deliver(parcel);
  }

  async stop(): Promise<void> {
    this.stopped = true;
    this.nextTrial?.();
    await this.session?.close();
  }

  private async tryToStart(host: SurfaceHost, trial: number): Promise<void> {
    if (this.stopped) return;
    const { config, table } = this.settings;
    const filters = config.observatory.camera.filters.map((each) => each.name);
    try {
      this.session = await Session.open({ ...this.settings, host, source: { table, filters } });
    } catch (error) {
      const fault = explain(error);
      if (error instanceof Refusal) throw error;
      if (fault.kind === "token") throw new Refusal("discord-token", fault.sentence);
      this.tryLater(host, trial, fault);
    }
  }

  private tryLater(host: SurfaceHost, trial: number, fault: { code: string; sentence: string }): void {
    const { log, say, realClock } = this.settings;
    log.warn({ code: fault.code }, "could not connect to Discord");
    if (trial === 0) say(`Discord: ${fault.sentence} The rest of Nightslate works meanwhile.`);
    const seconds = LOGIN_DELAYS[Math.min(trial, LOGIN_DELAYS.length - 1)] as Seconds;
    this.nextTrial = realClock.at(realClock.now() + seconds * SECOND, () => {
      this.tryToStart(host, trial + 1).catch((error: Error) => say(`Discord: ${error.message}`));
    });
  }
}
