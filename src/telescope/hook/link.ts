/** A telescope that a control program of the observatory's own moves: it asks what is next and tells what it does. */
import { SECOND } from "../../base/units.js";
import type { StoppingState } from "../../journal/state.js";
import type { TelescopeTraits } from "../../journal/telescope-status.js";
import type { Action, LinkHost, Progress, TelescopeLink, Work } from "../link.js";
import { ProgramConversation } from "./conversation.js";
import type { Conversation } from "./listener.js";
import type { Pictures } from "./pictures.js";

export const hookTraits: TelescopeTraits = {
  simulated: false,
  notice: null,
  clockName: null,
  takenBy: "program",
  movesMachines: true,
  inventedClass: false,
};

export interface HookParts {
  readonly pictures: Pictures;
  readonly frames?: TelescopeLink["frames"];
  /**
   * Lets the program in.
   * @returns shuts it out again
   * @throws {Refusal} when it cannot listen
   */
  readonly listen: (conversation: Conversation, host: LinkHost) => Promise<() => Promise<void>>;
}

export class HookLink implements TelescopeLink {
  readonly traits = hookTraits;
  readonly frames: TelescopeLink["frames"];
  private conversation: ProgramConversation | null = null;
  private shut: () => Promise<void> = async () => {};

  constructor(private readonly parts: HookParts) {
    this.frames = parts.frames;
  }

  /** The program tells how the equipment is. */
  async start(host: LinkHost): Promise<void> {
    const { stopSeconds } = host.config.telescope.hook;
    this.conversation = new ProgramConversation(host, this.parts.pictures, stopSeconds * SECOND);
    this.shut = await this.parts.listen(this.conversation, host);
  }

  begin(action: Action, progress: Progress): Work {
    const conversation = this.conversation as ProgramConversation;
    conversation.begin(action, progress);
    return { stop: (reason) => conversation.stop({ number: action.request.number, reason }) };
  }

  stopLeftOver(stopping: StoppingState): Promise<void> {
    return (this.conversation as ProgramConversation).stop(stopping);
  }

  close(): Promise<void> {
    return this.shut();
  }
}
