/** Work comes in turns: the urgent first, and whatever else is due in between. */
import { describe, expect, it } from "vitest";
import { Turns } from "../../../../src/chat/discord/hear/turns.js";

describe("turns", () => {
  it("serve suggestions before commands, each in a turn of its own", async () => {
    const turns = new Turns();
    const order: string[] = [];
    const command = (name: string): Promise<void> =>
      turns.run(async () => {
        order.push(name);
        setImmediate(() => order.push(`what was due after ${name}`));
      });
    await Promise.all([
      command("first command"),
      command("second command"),
      turns.soon(() => order.push("suggestion")),
    ]);
    expect(order).toEqual([
      "suggestion",
      "first command",
      "what was due after first command",
      "second command",
    ]);
  });

  it("begin no more than some commands at a time, and the next when one ends, well or not", async () => {
    const turns = new Turns();
    const ends: ((error?: Error) => void)[] = [];
    const begun = Array.from({ length: 20 }, () =>
      turns
        .run(() => new Promise<void>((done, fail) => ends.push((error) => (error ? fail(error) : done()))))
        .catch(() => {}),
    );
    const settle = async (): Promise<void> => {
      for (let turn = 0; turn < 50; turn++) await new Promise<void>((done) => setImmediate(done));
    };
    await settle();
    expect(ends).toHaveLength(8);
    ends[0]?.(new Error("failed"));
    ends[1]?.();
    await settle();
    expect(ends).toHaveLength(10);
    for (let each = 2; each < 20; each++) {
      ends[each]?.();
      await settle();
    }
    await Promise.all(begun);
    expect(turns.isCrowded()).toBe(false);
  });

  it("are crowded when several commands are under way", () => {
    const turns = new Turns();
    for (let each = 0; each < 4; each++) {
      expect(turns.isCrowded()).toBe(false);
      void turns.run(() => new Promise<void>(() => {}));
    }
    expect(turns.isCrowded()).toBe(true);
  });
});
