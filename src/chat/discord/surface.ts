/** Discord as one of the places where people talk: starts, goes on trying while it cannot be reached, stops. */
import { atMost } from "../../base/at-most.js";
import { type CallOff, type Clock, systemClock } from "../../base/clock.js";
import type { Log } from "../../base/log.js";
import { Refusal } from "../../base/refusal.js";
import { type Millis, SECOND, type Seconds } from "../../base/units.js";
import { tableAtSite } from "../../commands/at-site.js";
import type { CommandSpec } from "../../commands/command.js";
import { commandTable } from "../../commands/table.js";
import type { Config } from "../../config/config.js";
import type { Delivery, Parcel, Surface, SurfaceHost } from "../surface.js";
import { explain, type Fault, malformedToken } from "./errors.js";
import { DISCORD } from "./hear/place.js";
import { LoggedIn } from "./logged-in.js";

/** The surface to start with the others and to give to the outbox: on real time, with every command of the one table. */
export function discordSurface(
  settings: Omit<DiscordSettings, "table" | "realClock" | "say"> & Partial<Pick<DiscordSettings, "say">>,
): Surface {
  const say = (line: string): void => void process.stdout.write(`${line}\n`);
  const token = settings.token.trim();
  return new DiscordSurface({ say, ...settings, token, table: commandTable, realClock: systemClock() });
}

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
/** A start under way when everything ends is waited for so long. */
const LONGEST_GOODBYE: Millis = 3 * SECOND;

export class DiscordSurface implements Surface {
  readonly name = DISCORD;
  readonly merges = true;
  readonly remote = true;
  private session: LoggedIn | null = null;
  /** The attempt to log in that is under way. */
  private trial: Promise<void> = Promise.resolve();
  private nextTrial: CallOff | null = null;
  private stopping: Promise<void> | null = null;
  private readonly leaving = new AbortController();

  constructor(private readonly settings: DiscordSettings) {}

  /**
   * Logs in, checks the set-up, registers commands, shows the boards. While the platform cannot be reached
   * it goes on trying by itself, and the rest of Nightslate works.
   * @throws {Refusal} code "discord-token" when the token is wrong
   */
  async start(host: SurfaceHost): Promise<void> {
    const malformed = malformedToken(this.settings.token);
    if (malformed !== null) throw new Refusal("discord-token", malformed);
    await this.tryToStart(host, 0);
  }

  async deliver(parcel: Parcel): Promise<Delivery> {
    await this.trial.catch(() => {});
    if (!this.session)
      return { result: "retry", afterMs: 5 * SECOND, reason: "not connected to Discord yet" };
    return this.session.deliver(parcel);
  }

  stop(): Promise<void> {
    this.stopping ??= this.leave();
    return this.stopping;
  }

  private async leave(): Promise<void> {
    this.leaving.abort();
    this.nextTrial?.();
    const { realClock } = this.settings;
    await atMost(realClock, LONGEST_GOODBYE, this.trial);
    await this.session?.close();
  }

  /** Resolves when the session is open, or is to be expected later; rejects when the token is wrong. */
  private tryToStart(host: SurfaceHost, trial: number): Promise<void> {
    const { say } = this.settings;
    let giveWay = (): void => {};
    const slow = new Promise<void>((done) => {
      giveWay = done;
    });
    const opening = this.open(host, trial, giveWay);
    this.trial = Promise.race([opening, slow]);
    void slow.then(() => opening).catch((error: Error) => say(`Discord: ${error.message}`));
    return this.trial;
  }

  private async open(host: SurfaceHost, trial: number, giveWay: () => void): Promise<void> {
    const leave = this.leaving.signal;
    if (leave.aborted) return;
    const { config, table } = this.settings;
    const filters = config.observatory.camera.filters.map((each) => each.name);
    const onSlow = (reason: Error): void => {
      this.report(trial, explain(reason));
      giveWay();
    };
    try {
      const source = { table: tableAtSite(table, config), filters };
      this.session = await LoggedIn.open({ ...this.settings, host, source, leave, onSlow });
    } catch (error) {
      if (leave.aborted) return;
      const fault = explain(error);
      if (error instanceof Refusal) throw error;
      if (fault.kind === "token") throw new Refusal("discord-token", fault.sentence);
      this.report(trial, fault);
      this.tryLater(host, trial);
    }
  }

  private report(trial: number, { code, sentence }: Fault): void {
    const { log, say } = this.settings;
    log.warn({ code }, "could not connect to Discord");
    if (trial > 0) return;
    say(`Discord: ${sentence} Nightslate tries again by itself. The rest of Nightslate works meanwhile.`);
  }

  private tryLater(host: SurfaceHost, trial: number): void {
    const { say, realClock } = this.settings;
    const seconds = LOGIN_DELAYS[Math.min(trial, LOGIN_DELAYS.length - 1)] as Seconds;
    this.nextTrial = realClock.at(realClock.now() + seconds * SECOND, () => {
      this.tryToStart(host, trial + 1).catch((error: Error) => say(`Discord: ${error.message}`));
    });
  }
}
