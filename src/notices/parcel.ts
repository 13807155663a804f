/** What the outbox hands to a surface, and how it went. */
import type { Notice } from "../journal/notice.js";
import type { Address } from "../queue/request.js";

/** One or more notices to one place, sent as one message; the key never changes once made. */
export interface Parcel {
  readonly key: string;
  readonly to: Address;
  readonly notices: readonly Notice[];
  /** This parcel may have been sent before (a crash or lost reply): look before posting again. */
  readonly maybeSent: boolean;
}

export type Delivery =
  | {
      readonly result: "delivered";
      readonly messageId: string | null;
      /** Notices among several that the place would never take; the others are there. */
      readonly refused?: { readonly keys: readonly string[]; readonly reason: string };
    }
  /** Try again, not before `afterMs` from now. */
  | {
      readonly result: "retry";
      /** Real milliseconds, whatever the clock's speed. */
      readonly afterMs: number;
      readonly reason: string;
    }
  /** Never: nobody there, channel gone. */
  | { readonly result: "drop"; readonly reason: string };

/** The part of a surface that the outbox needs. */
export interface Carrier {
  readonly name: string;
  /** Whether several notices for one place may be merged into one message. */
  readonly merges: boolean;
  deliver(parcel: Parcel): Promise<Delivery>;
}
