/** Keeps one server's commands registered: tries again while the platform refuses, and says why once. */
import type { CallOff } from "../../../base/clock.js";
import { SECOND, type Seconds } from "../../../base/units.js";
import { explain } from "../errors.js";
import type { Place } from "../hear/place.js";
import type { Kit } from "../kit.js";
import { inviteLink } from "./permissions.js";
import { registerCommands } from "./registration.js";

/** Between trials; the last is repeated. */
const DELAYS: readonly Seconds[] = [5, 15, 60, 300];

export class CommandKeeper {
  private failures = 0;
  private registered = false;
  private saidCode: string | null = null;
  private nextTrial: CallOff | null = null;
  private trial: Promise<void> | null = null;
  private stopped = false;

  constructor(
    private readonly kit: Kit,
    private readonly applicationId: string,
    private readonly place: Place,
  ) {}

  /** One trial now, or the one under way; further ones follow by themselves until it succeeds. */
  async register(): Promise<void> {
    this.trial ??= this.attempt().finally(() => {
      this.trial = null;
    });
    await this.trial;
  }

  /** The connection is new: what has not been registered yet is tried at once. */
  async again(): Promise<void> {
    if (!this.registered) await this.register();
  }

  stop(): void {
    this.stopped = true;
    this.nextTrial?.();
  }

  private async attempt(): Promise<void> {
    const { api, source, log } = this.kit;
    this.nextTrial?.();
    this.nextTrial = null;
    try {
      const changed = await registerCommands(api, this.applicationId, this.place, source);
      log.info({ guild: this.place.guildId, changed }, "the commands are registered");
      this.registered = true;
      this.failures = 0;
    } catch (error) {
      this.tryLater(error);
    }
  }

  private tryLater(error: unknown): void {
    const { realClock, log, say } = this.kit;
    const { code, kind, sentence } = explain(error);
    log.warn({ guild: this.place.guildId, code }, "the commands could not be registered");
    const why = kind === "setting" ? notAllowed(this.applicationId) : sentence;
    if (this.saidCode !== code)
      say(`Discord: the commands could not be registered; Nightslate tries again by itself. ${why}`);
    this.saidCode = code;
    if (this.stopped) return;
    const seconds = DELAYS[Math.min(this.failures, DELAYS.length - 1)] as Seconds;
    this.failures += 1;
    this.nextTrial = realClock.at(realClock.now() + seconds * SECOND, () => void this.register());
  }
}

/** What to do where the platform lets the bot have no commands. */
export function notAllowed(applicationId: string): string {
  return `Nightslate may not have commands here: invite it again with ${inviteLink(applicationId)} (it needs the scope applications.commands).`;
}
