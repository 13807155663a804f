/** A notice stands once, whatever happens to the answer, the gateway or the platform in between. */
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { HOUR, MINUTE } from "../../../../src/base/units.js";
import type { Parcel } from "../../../../src/chat/surface.js";
import { eventually } from "../../../eventually.js";
import { noticeFor, parcelOf } from "../notices.js";
import { given, later, type SetUp, setUp } from "../set-up.js";
import type { Fault } from "../stand-in/faults.js";
import { NONCE_LIFE_MS } from "../stand-in/messages.js";
import type { Channel, StoredMessage } from "../stand-in/world.js";

describe("a notice stands exactly once", () => {
  let here: SetUp;
  beforeEach(async () => {
    here = await setUp();
  });
  afterEach(() => here.stop());

  const channel = (): Channel => given(here.classes[0]).channel;
  /** What stands in the channel, the board and other people's chatter apart. */
  const standing = (): StoredMessage[] => channel().messages.filter((each) => each.content.includes("taken"));
  const POST = [/\/channels\/\d+\/messages$/] as const;
  const again = (parcel: Parcel): Parcel => ({ ...parcel, maybeSent: true });
  /** Delivers as the outbox does: again until it is recorded. */
  const deliver = async (parcel: Parcel): Promise<number> => {
    let delivery = await here.surface.deliver(parcel);
    let trials = 1;
    while (delivery.result === "retry" && trials < 6) {
      delivery = await here.surface.deliver(again(parcel));
      trials += 1;
    }
    expect(delivery).toEqual({ result: "delivered", messageId: standing()[0]?.id });
    return trials;
  };
  const plant = (when: "before" | "after", fault: Fault, times = 1): void =>
    here.standIn.faults.plant(when, "POST", POST[0], fault, { times });

  it.each<[string, "before" | "after", Fault]>([
    ["the answer is lost by a TCP reset", "after", { do: "reset" }],
    ["the connection is closed in good order after it was stored", "after", { do: "close" }],
    ["no answer ever comes though it was stored", "after", { do: "stall" }],
    ["the platform stores it and answers 500", "after", { do: "status", status: 500 }],
    ["the platform stores it and answers 502", "after", { do: "status", status: 502 }],
    ["the connection breaks before it arrives", "before", { do: "reset" }],
    ["the platform answers 500 without storing it", "before", { do: "status", status: 500 }],
  ])("when %s", async (_, when, fault) => {
    plant(when, fault, 2);
    const trials = await deliver(parcelOf(noticeFor(channel())));
    expect(trials).toBeGreaterThan(1);
    expect(standing()).toHaveLength(1);
  });

  it("when more was said since than thirty pages hold", async () => {
    plant("after", { do: "status", status: 500 });
    const parcel = parcelOf(noticeFor(channel()));
    await here.surface.deliver(parcel);
    await here.clock.moveTo(here.clock.now() + NONCE_LIFE_MS + MINUTE);
    for (let count = 0; count < 3_100; count++) {
      here.standIn.messages.store(channel(), { content: `chatter ${count}` }, []);
    }
    expect(await here.surface.deliver(again(parcel))).toMatchObject({ messageId: standing()[0]?.id });
    expect(standing()).toHaveLength(1);
  });

  it("when the platform asks to wait, by route or globally", async () => {
    plant("before", { do: "rate-limit", retryAfterSeconds: 0.05 });
    plant("before", { do: "rate-limit", retryAfterSeconds: 0.05, global: true });
    await deliver(parcelOf(noticeFor(channel())));
    expect(standing()).toHaveLength(1);
  });

  it("when the gateway drops, for a while or for good: posting does not depend on it", async () => {
    here.standIn.gateway.drop();
    await deliver(parcelOf(noticeFor(channel())));
    here.standIn.gateway.dropForGood();
    await here.surface.deliver(parcelOf(noticeFor(channel())));
    expect(standing()).toHaveLength(2);
  });

  it("when the trial after a lost answer comes hours later, past the nonce and other people's messages", async () => {
    const parcel = parcelOf(noticeFor(channel()));
    plant("after", { do: "reset" });
    await here.surface.deliver(parcel);
    await here.clock.moveTo(here.clock.now() + NONCE_LIFE_MS + MINUTE);
    for (let index = 0; index < 450; index++)
      here.standIn.messages.store(channel(), { content: `chatter ${index}` }, []);
    await here.clock.moveTo(here.clock.now() + 6 * HOUR);
    const restarted = await here.restart();
    expect(await restarted.deliver(again(parcel))).toMatchObject({
      result: "delivered",
      messageId: standing()[0]?.id,
    });
    expect(standing()).toHaveLength(1);
  });

  it("(control) would stand twice if nobody looked back after the nonce's life", async () => {
    const parcel = parcelOf(noticeFor(channel()));
    plant("after", { do: "reset" });
    await here.surface.deliver(parcel);
    await here.clock.moveTo(here.clock.now() + NONCE_LIFE_MS + MINUTE);
    const restarted = await here.restart();
    await restarted.deliver({ ...parcel, maybeSent: false });
    expect(standing()).toHaveLength(2);
  });

  it("is not posted again while looking back is impossible", async () => {
    const parcel = parcelOf(noticeFor(channel()));
    const deny = (1n << 16n).toString();
    channel().overwrites.push({ id: given(here.classes[0]).guild.id, type: 0, allow: "0", deny });
    expect(await here.surface.deliver(again(parcel))).toMatchObject({
      result: "retry",
      reason: expect.stringContaining("Read Message History"),
    });
    expect(standing()).toHaveLength(0);
  });

  it("when a post given up for lost arrives after all, behind the look back", async () => {
    const onItsWay = later<void>();
    plant("before", { do: "tell", tell: () => onItsWay.promise });
    const parcel = parcelOf(noticeFor(channel()));
    expect(await here.surface.deliver(parcel)).toMatchObject({ result: "retry" });
    expect(standing()).toHaveLength(0);
    plant("before", {
      do: "tell",
      tell: async () => {
        onItsWay.resolve();
        await eventually(() => expect(standing()).toHaveLength(1));
      },
    });
    expect(await here.surface.deliver(again(parcel))).toMatchObject({ result: "delivered" });
    expect(standing()).toHaveLength(1);
  });

  it("goes on with the second message when only the first of two was posted", async () => {
    const people = Array.from(
      { length: 150 },
      (_, index) => `discord:${100_000_000_000_000_000n + BigInt(index)}`,
    );
    const parcel = parcelOf(noticeFor(channel(), { people }));
    here.standIn.faults.plant("before", "POST", POST[0], { do: "reset" }, { skip: 1 });
    await deliver(parcel);
    expect(standing()).toHaveLength(2);
    const called = standing().flatMap((each) => each.mentions);
    expect([called.length, new Set(called).size]).toEqual([150, 150]);
  });

  it("when direct messages are refused and the answer to the fallback is lost as well", async () => {
    const mira = here.standIn.join(given(here.classes[0]).guild, "mira");
    here.standIn.world.refusesDirect.add(mira.userId);
    plant("after", { do: "reset" }, 2);
    await deliver(parcelOf(noticeFor(channel(), { audience: "person", people: [`discord:${mira.userId}`] })));
    expect(standing()).toHaveLength(1);
    expect(channel().messages[0]?.content).toContain("closed to Nightslate");
  });

  it("carries its mark where nobody sees it", async () => {
    await deliver(parcelOf(noticeFor(channel())));
    const [message] = standing();
    expect(message?.nonce).toMatch(/^[\w-]{1,25}$/);
    expect(message?.content).not.toContain(message?.nonce);
  });
});

describe("the gateway", () => {
  let here: SetUp;
  beforeEach(async () => {
    here = await setUp();
  });
  afterEach(() => here.stop());

  const asks = async (): Promise<void> => {
    const mira = here.standIn.join(given(here.classes[0]).guild, "mira");
    await mira.slash("request", { target: "M13" }).settled;
  };

  it("brings what was missed after a break, once, and what comes later", async () => {
    const mira = here.standIn.join(given(here.classes[0]).guild, "mira");
    here.standIn.gateway.drop();
    const missed = mira.slash("request", { target: "M13" });
    await missed.settled;
    await asks();
    expect(here.host.calls).toHaveLength(2);
    expect(here.standIn.gateway.resumes).toBe(1);
  });

  it.each<[string, (setUp: SetUp) => void]>([
    ["a cut cable", ({ standIn }) => standIn.gateway.cut()],
    ["a request to reconnect", ({ standIn }) => standIn.gateway.askToReconnect()],
    ["an invalid session", ({ standIn }) => standIn.gateway.invalidate()],
    ["a close that cannot be resumed", ({ standIn }) => standIn.gateway.drop(1000)],
  ])("is taken up again after %s", async (_, breakIt) => {
    breakIt(here);
    await eventually(() => here.standIn.gateway.isConnected() || Promise.reject(new Error("not yet")));
    await asks();
    expect(here.host.calls).toHaveLength(1);
  });

  it("going down for good for a wrong token is said, with where to mend it", async () => {
    here.standIn.gateway.drop(4004);
    await eventually(() => expect(here.said.join("\n")).toMatch(/refused the token.*Reset Token/));
  });
});
