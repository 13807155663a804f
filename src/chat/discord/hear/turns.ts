/**
 * Takes work one piece at a time, each in a turn of the event loop of its own, so that acknowledgements
 * and what else is due get out in between. Suggestions come before commands.
 */

/** With so many under way, what comes is acknowledged before it is worked on. */
const CROWD = 4;
/** Commands worked on at the same time: enough for the journal to store several together. */
const AT_ONCE = 8;

export class Turns {
  private readonly urgent: (() => void)[] = [];
  private readonly commands: (() => void)[] = [];
  private begun = 0;
  private coming = false;

  /** Whether what comes now has to wait: acknowledge it first. */
  isCrowded(): boolean {
    return this.begun + this.commands.length + this.urgent.length >= CROWD;
  }

  /** Waits for a turn, then works; before all commands. */
  async soon<T>(work: () => T): Promise<T> {
    await this.turn(this.urgent);
    return work();
  }

  /** Waits for a turn and for room among the commands, then works. */
  async run<T>(work: () => Promise<T>): Promise<T> {
    await this.turn(this.commands);
    try {
      return await work();
    } finally {
      this.begun -= 1;
      this.next();
    }
  }

  private turn(line: (() => void)[]): Promise<void> {
    return new Promise((done) => {
      line.push(done);
      this.next();
    });
  }

  private next(): void {
    if (this.coming) return;
    const mayBegin = this.commands.length > 0 && this.begun < AT_ONCE;
    if (this.urgent.length === 0 && !mayBegin) return;
    this.coming = true;
    setImmediate(() => {
      const urgent = this.urgent.shift();
      const command = urgent === undefined && this.begun < AT_ONCE ? this.commands.shift() : undefined;
      if (command !== undefined) this.begun += 1;
      (urgent ?? command)?.();
      // After the piece has begun, so that what it leaves to others comes before the next piece.
      queueMicrotask(() => {
        this.coming = false;
        this.next();
      });
    });
  }
}
