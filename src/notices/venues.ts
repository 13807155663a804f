/** What each place where people talk says of itself, so that nothing else need know one platform from another. */
import type { Address } from "../queue/request.js";

/** Facts about one surface; they hold whether or not it is running. */
export interface Venue {
  /** Its name in addresses and person ids. */
  readonly surface: string;
  /** Whether a class has a channel there, and people can be written to apart from it. */
  readonly hasChannels: boolean;
  /** The channels that the configuration gives a class, whether or not anyone has spoken there. */
  channelsOf(classId: string): readonly string[];
  /** Whether an id of the class list can be somebody's account there. */
  isAccount(id: string): boolean;
  /** The account in a mention as it is written there; null for any other text. */
  mentioned(typed: string): string | null;
}

/** A place without accounts of its own: people are who the class list says. */
const plain = (surface: string): Venue => ({
  surface,
  hasChannels: false,
  channelsOf: () => [],
  isAccount: () => true,
  mentioned: () => null,
});

export class Venues {
  constructor(private readonly list: readonly Venue[]) {}

  of(surface: string): Venue {
    return this.list.find((each) => each.surface === surface) ?? plain(surface);
  }

  /** Where a class meets by the configuration. */
  meetingPlaces(classId: string): Address[] {
    return this.list.flatMap(({ surface, channelsOf }) =>
      channelsOf(classId).map((channel) => ({ surface, channel })),
    );
  }

  /** Where something for a class goes today: where it was addressed to, unless the class has moved since. */
  present(classId: string, address: Address): Address {
    const [first, ...others] = this.of(address.surface).channelsOf(classId);
    if (first === undefined || others.includes(address.channel)) return address;
    return { ...address, channel: first };
  }
}
