/** The terminal: the same slash commands typed by a student or by staff, notices printed as they come. */
import { mkdirSync, writeFileSync } from "node:fs";
import { basename, join } from "node:path";
import { createInterface, type Interface } from "node:readline";
import type { Readable, Writable } from "node:stream";
import { Refusal } from "../../base/refusal.js";
import type { Asker, GiveFile } from "../../commands/command.js";
import type { Reply } from "../../commands/reply.js";
import { commandTable } from "../../commands/table.js";
import type { Address } from "../../queue/request.js";
import type { Delivery, Parcel, Surface, SurfaceHost } from "../surface.js";
import { noticeText, replyText } from "./render.js";
import { ShownLog } from "./shown.js";
import { clean, type TerminalStyle } from "./style.js";

export interface TerminalOptions {
  readonly input: Readable;
  readonly output: Writable;
  /** Whether a person types here (a prompt, bold text) rather than a script. */
  readonly interactive: boolean;
  readonly timeZone: string;
  /** Who types at first. */
  readonly asker: Asker;
  /**
   * Finds a class member by what was typed after `/as`.
   * @throws {Refusal} when there is no such member
   */
  readonly findAsker: (who: string) => Asker;
  /** Called when the person leaves with /quit or Ctrl-D. */
  readonly onLeave: () => void;
}

export const TERMINAL = "terminal";
const HOME: Address = { surface: TERMINAL, channel: "main" };

/** What the tab key adds: command names. */
function completions(line: string): [found: string[], typed: string] {
  const names = [...commandTable.map(({ name }) => name), "as", "quit"].map((name) => `/${name} `);
  const found = /^\/\S*$/.test(line) ? names.filter((name) => name.startsWith(line.toLowerCase())) : [];
  return [found, line];
}

/** Whoever sits at this machine names files of it. */
const giveFile: GiveFile = (name) => ({ name, fetch: async () => name });

export class TerminalSurface implements Surface {
  readonly name = TERMINAL;
  readonly merges = false;
  private asker: Asker;
  private host: SurfaceHost | null = null;
  private shown: ShownLog | null = null;
  private reader: Interface | null = null;
  /** Lines are answered one after the other, as typed. */
  private work: Promise<void> = Promise.resolve();
  /** The answer being worked out: what follows from a line is printed after its answer. */
  private answering: Promise<void> = Promise.resolve();

  constructor(private readonly options: TerminalOptions) {
    this.asker = options.asker;
  }

  async start(host: SurfaceHost): Promise<void> {
    this.host = host;
    this.shown = new ShownLog(join(host.dataFolder, "terminal", "shown.log"));
    await host.welcome(this.asker, HOME);
    const { input, output, interactive } = this.options;
    this.reader = createInterface({
      input,
      output,
      terminal: interactive,
      prompt: this.prompt(),
      completer: completions,
    });
    this.reader.on("line", (line) => {
      this.work = this.work.then(() => {
        this.answering = this.answer(line).catch((error) => this.complain(error));
        return this.answering;
      });
    });
    this.reader.on("close", () => {
      if (interactive) this.options.onLeave();
    });
    if (interactive) this.reader.prompt();
  }

  async deliver(parcel: Parcel): Promise<Delivery> {
    await this.answering;
    if (parcel.maybeSent && this.shown?.has(parcel.key)) return { result: "delivered", messageId: null };
    // First, for whoever watches may end the program on the very line: a repeat would be worse than a gap of microseconds.
    this.shown?.add(parcel.key);
    for (const notice of parcel.notices) {
      const forReader =
        notice.people.includes(this.asker.id) ||
        (notice.people.length === 0 && notice.classId === this.asker.classId);
      if (!forReader && (notice.audience === "person" || notice.classId !== this.asker.classId)) continue;
      this.print(noticeText(notice, this.style(), forReader, this.dataFolder()));
    }
    return { result: "delivered", messageId: null };
  }

  async stop(): Promise<void> {
    this.reader?.removeAllListeners("close");
    this.reader?.close();
    await this.work;
  }

  /** Resolves when every line typed so far has been answered. */
  idle(): Promise<void> {
    return this.work;
  }

  /** Prints a line or block without disturbing what is being typed. */
  print(text: string): void {
    const { output, interactive } = this.options;
    if (interactive) output.write("\r\u001b[K");
    output.write(`${text}\n`);
    if (interactive) this.reader?.prompt(true);
  }

  private async answer(line: string): Promise<void> {
    const typed = line.trim();
    if (typed === "" || !this.host) return this.reader?.prompt();
    if (!this.options.interactive) this.print(`${this.prompt()}${clean(typed)}`);
    if (/^\/(quit|exit)$/i.test(typed)) return this.options.onLeave();
    const change = /^\/as(?:\s+(.+))?$/i.exec(typed);
    if (change) return this.become(change[1] ?? "");
    const { asker } = this;
    const reply = await this.host.runText(typed, { asker, from: HOME, onceKey: null, giveFile });
    this.print(replyText(reply, this.style(), [...this.save(reply), ...this.framePlaces(reply)]));
  }

  /** A line that could not be answered harms no later one. */
  private complain(error: unknown): void {
    this.host?.log.error({ reason: (error as Error).message }, "a typed line could not be answered");
    this.print("✗ Something went wrong here; the operator's log has the details. Try again.");
  }

  private async become(who: string): Promise<void> {
    try {
      this.asker = this.options.findAsker(who);
      await this.host?.welcome(this.asker, HOME);
      this.reader?.setPrompt(this.prompt());
      this.print(`✓ You are ${this.asker.name}, ${this.asker.role}.`);
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      this.print(`✗ ${error.message}`);
    }
  }

  /** Puts pictures and files into the data folder; returns a line for each. */
  private save(reply: Reply): string[] {
    const files = (reply.downloads ?? []).map((each) => ({ name: each.fileName, content: each.content }));
    const lines: string[] = [];
    if (reply.picture) files.unshift({ name: reply.picture.fileName, content: reply.picture.png });
    for (const file of files) {
      const kind = reply.picture?.fileName === file.name ? "Picture" : "File";
      lines.push(`${kind}: ${this.saveFile(file.name, file.content)}`);
    }
    if (reply.picture) lines.push(`It shows: ${clean(reply.picture.altText)}`);
    return lines;
  }

  /** Where the frames lie that the answer is about. */
  private framePlaces({ frames }: Reply): string[] {
    return (frames ?? []).map(({ request, frame }) => {
      const files = [frame.previewFile, frame.imageFile].filter((each) => each !== null);
      const places = files.map((each) => join(this.dataFolder(), each));
      return `#${request.number}, frame ${frame.index} of ${request.frames}: ${places.map(clean).join(", ")}`;
    });
  }

  /** Where the file is now, or why it is nowhere: an answer stands without it. */
  private saveFile(name: string, content: string | Uint8Array): string {
    const folder = join(this.dataFolder(), "terminal");
    const place = join(folder, basename(name));
    try {
      mkdirSync(folder, { recursive: true });
      writeFileSync(place, content);
      return place;
    } catch (error) {
      const full = (error as NodeJS.ErrnoException).code === "ENOSPC";
      return `not saved, because ${full ? "the disk is full" : "the data folder refused it"}`;
    }
  }

  private prompt(): string {
    return `${this.asker.name}> `;
  }

  private dataFolder(): string {
    return this.host?.dataFolder ?? ".";
  }

  private style(): TerminalStyle {
    const host = this.host;
    return {
      timeZone: this.options.timeZone,
      effects: this.options.interactive,
      now: () => host?.clock.now() ?? 0,
      nameOf: (personId) => {
        if (personId === this.asker.id) return "you";
        return host?.nameFor(personId, this.asker.classId) ?? personId;
      },
    };
  }
}
