/** Everything that lives while the bot is logged in: interactions, deliveries, boards, registration. */
import { type Client, Events } from "discord.js";
import { atMost } from "../../base/at-most.js";
import type { Clock } from "../../base/clock.js";
import type { Log } from "../../base/log.js";
import { type Millis, SECOND } from "../../base/units.js";
import type { Config } from "../../config/config.js";
import { ReceivedFiles } from "../received-files.js";
import type { Delivery, Parcel, SurfaceHost } from "../surface.js";
import { Api } from "./api.js";
import {
  logIn,
  makeAnswersRest,
  makeClient,
  onDirectMessage,
  onInteraction,
  type Patience,
} from "./client.js";
import { BoardKeeper } from "./deliver/board-message.js";
import { Courier } from "./deliver/deliver.js";
import { DirectRefusals } from "./deliver/direct.js";
import { explain } from "./errors.js";
import { DirectMessages } from "./hear/direct-messages.js";
import { Interactions } from "./hear/interactions.js";
import { DISCORD, type Place, placeOfChannel } from "./hear/place.js";
import { Turns } from "./hear/turns.js";
import type { Kit } from "./kit.js";
import { UPLOAD_BYTES } from "./limits.js";
import { Memory } from "./memory.js";
import { checkPlace, type Identity } from "./set-up/check.js";
import { CommandKeeper } from "./set-up/keep-commands.js";
import { inviteLink } from "./set-up/permissions.js";
import type { CommandSource } from "./set-up/registration.js";

export interface SessionParts {
  readonly config: Config;
  readonly token: string;
  readonly log: Log;
  readonly say: (line: string) => void;
  readonly source: CommandSource;
  readonly realClock: Clock;
  readonly host: SurfaceHost;
  /** Longest wait for the answer to one request; ten seconds unless given. */
  readonly timeoutMs?: Millis;
  /** Breaks off logging in. */
  readonly leave: AbortSignal;
  /** Told when logging in takes long. */
  readonly onSlow: Patience["onSlow"];
}

/** What has not been answered by then is left. */
const LONGEST_GOODBYE: Millis = 3 * SECOND;

export class LoggedIn {
  private readonly courier: Courier;
  private readonly refusals: DirectRefusals;
  private readonly commands: ReadonlyMap<Place, CommandKeeper>;
  private readonly boards: readonly BoardKeeper[];
  private silence: () => void = () => {};

  private constructor(
    private readonly kit: Kit,
    private readonly config: Config,
    private readonly client: Client,
    private readonly identity: Identity,
    private readonly interactions: Interactions,
    private readonly directMessages: DirectMessages,
  ) {
    const { places, memory } = kit;
    this.refusals = new DirectRefusals(memory);
    this.courier = new Courier(kit, this.refusals, (channelId) => this.uploadBytesIn(channelId));
    const keeper = (place: Place) => new CommandKeeper(kit, identity.applicationId, place);
    this.commands = new Map(oneInEachServer(places).map((place) => [place, keeper(place)]));
    this.boards = places.map((place) => new BoardKeeper(kit, place));
  }

  /**
   * Logs in and takes up the work of every configured class.
   * @throws {Refusal} code "discord-token"; whatever the API throws while it cannot be reached; the reason
   * of `leave` when that came first
   */
  static async open(parts: SessionParts): Promise<LoggedIn> {
    const { config, token, realClock: clock, leave, onSlow } = parts;
    const client = makeClient({ ...parts, apiUrl: config.discord.apiUrl });
    try {
      const answers = makeAnswersRest(config.discord.apiUrl, parts.timeoutMs);
      const kit: Kit = {
        ...parts,
        api: new Api(client.rest, token, answers),
        places: config.discord.guilds,
        memory: new Memory(parts.host.services.desk),
        turns: new Turns(),
        received: new ReceivedFiles(parts.host.dataFolder, DISCORD, config.telescope.frames.largestMegabytes),
      };
      const interactions = new Interactions(kit);
      onInteraction(client, (interaction) => interactions.take(interaction));
      const directMessages = new DirectMessages(kit);
      onDirectMessage(client, (message) => directMessages.take(message));
      const { user, application } = await logIn(client, token, { clock, leave, onSlow });
      const identity = { userId: user.id, name: user.username, applicationId: application.id };
      const session = new LoggedIn(kit, config, client, identity, interactions, directMessages);
      await session.takeUp();
      return session;
    } catch (error) {
      // The client cannot close what has not opened yet: a late failure would find nobody to handle it.
      if (!leave.aborted) await client.destroy();
      throw error;
    }
  }

  /** Delivers one parcel, exactly once; never rejects. */
  deliver(parcel: Parcel): Promise<Delivery> {
    return this.courier.deliver(parcel);
  }

  /** Answers what is under way, finishes edits, and leaves; what the platform holds up is not waited for. */
  async close(): Promise<void> {
    this.silence();
    for (const keeper of this.commands.values()) keeper.stop();
    const boards = this.boards.map((board) => board.stop());
    const work = Promise.all([this.interactions.settled(), this.directMessages.settled(), ...boards]);
    await atMost(this.kit.realClock, LONGEST_GOODBYE, work);
    await this.client.destroy();
  }

  private async takeUp(): Promise<void> {
    const { places, say, host, log } = this.kit;
    const { identity } = this;
    say(`Discord: logged in as ${identity.name}. To invite it: ${inviteLink(identity.applicationId)}`);
    this.silence = this.refusals.watch(host.services.desk, (error) =>
      log.warn({ reason: (error as Error).message }, "a choice of direct messages was not remembered"),
    );
    for (const place of places) await this.prepare(place);
    for (const board of this.boards) board.start();
    this.client.on(Events.GuildCreate, (guild) => this.welcomed(guild.id));
    for (const event of [Events.ShardReady, Events.ShardResume] as const)
      this.client.on(event, () => {
        this.lookAtBoards();
        for (const keeper of this.commands.values()) void keeper.again();
      });
  }

  /** Registers a server's commands and says what is not right in it. */
  private async prepare(place: Place): Promise<void> {
    const { api, source, say } = this.kit;
    await this.commands.get(place)?.register();
    const findings = await checkPlace(api, this.identity, place, this.config, source);
    for (const { is, sentence } of findings) if (is === "wrong") say(`Discord: ${sentence}`);
  }

  /** The bot was let into a server: its classes begin now. */
  private welcomed(guildId: string): void {
    const here = this.kit.places.filter((place) => place.guildId === guildId);
    for (const place of here)
      this.prepare(place).catch((error: unknown) =>
        this.kit.log.warn({ code: explain(error).code }, "a server could not be prepared"),
      );
    this.lookAtBoards();
  }

  private lookAtBoards(): void {
    for (const board of this.boards) board.soon();
  }

  private uploadBytesIn(channelId: string): number {
    const place = placeOfChannel(this.kit.places, channelId);
    const tier = place ? (this.client.guilds.cache.get(place.guildId)?.premiumTier ?? 0) : 0;
    return UPLOAD_BYTES[tier] as number;
  }
}

/** A server's commands are the same for all its classes, so they are put for the first. */
function oneInEachServer(places: readonly Place[]): Place[] {
  return places.filter((place) => places.find((each) => each.guildId === place.guildId) === place);
}
