/** The board: one message, edited when it changed, never lost, never doubled. */
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { person, say } from "../../../../src/base/phrase.js";
import { MINUTE, SECOND } from "../../../../src/base/units.js";
import { eventually } from "../../../eventually.js";
import { given, type SetUp, setUp } from "../set-up.js";
import type { Channel, StoredMessage } from "../stand-in/world.js";

describe("the board", () => {
  let here: SetUp;
  beforeEach(async () => {
    here = await setUp();
    await pass(0);
    await shown();
  });
  afterEach(() => here.stop());

  const channel = (): Channel => given(here.classes[0]).channel;
  const boards = (): StoredMessage[] =>
    channel().messages.filter((each) => each.content.includes("Board of"));
  const shown = (): Promise<void> => eventually(() => expect(boards()).toHaveLength(1));
  const remembered = (): Promise<void> =>
    eventually(() => expect(here.desk.state.remembered.get("discord")?.size).toBe(1));
  const pass = (ms: number): Promise<void> => here.clock.moveTo(here.clock.now() + ms);
  const happen = (line: string): Promise<unknown> => {
    here.host.boardLines = [say`${line}`];
    return here.desk.act(() => [{ type: "job.ran", job: line, dueUnixMs: 0 }], { by: "schedule" });
  };

  it("is edited when something changed, at most every fifteen seconds", async () => {
    await remembered();
    await happen("Now: #1");
    await happen("Now: #2");
    await pass(14 * SECOND);
    expect(boards()[0]?.edits).toBe(0);
    await pass(1 * SECOND);
    await eventually(() => expect(boards()[0]).toMatchObject({ edits: 1 }));
    expect(boards()[0]?.content).toContain("Now: #2");
  });

  it("is left alone while it says the same", async () => {
    await remembered();
    await happen("Now: nothing is being observed.");
    for (let minute = 0; minute < 5; minute++) {
      await pass(MINUTE);
      await eventually(() => expect(looks()).toBeGreaterThan(minute));
    }
    expect(boards()[0]?.edits).toBe(0);
  });

  const looks = (): number =>
    here.standIn.log.filter((each) => /^(GET|PATCH) \/channels\/\d+\/messages\/\d+/.test(each)).length;

  it("is found again after a restart, not posted a second time", async () => {
    await remembered();
    here.host.boardLines = [say`After the restart`];
    await here.restart();
    await pass(MINUTE);
    await eventually(() => expect(boards()[0]?.content).toContain("After the restart"));
    expect(boards()).toHaveLength(1);
  });

  it("is found again when the process died between posting it and remembering it", async () => {
    await remembered();
    const key = given([...given(here.desk.state.remembered.get("discord")).keys()][0]);
    await here.desk.act(() => [{ type: "surface.remembered", surface: "discord", key, value: null }], {
      by: "test",
    });
    await pass(2 * 60 * MINUTE);
    await here.restart();
    await pass(MINUTE);
    await remembered();
    expect(boards()).toHaveLength(1);
  });

  it("is posted anew when someone deleted it, though nothing else changed", async () => {
    await remembered();
    const first = given(boards()[0]);
    here.standIn.messages.remove(channel().id, first.id);
    await pass(MINUTE);
    await shown();
    expect(boards()[0]?.id).not.toBe(first.id);
    await eventually(() =>
      expect([...given(here.desk.state.remembered.get("discord")).values()]).toEqual([boards()[0]?.id]),
    );
    await happen("Now: #3");
    await pass(15 * SECOND);
    await eventually(() => expect(boards()[0]?.content).toContain("Now: #3"));
  });

  it("calls nobody and rings for nobody", async () => {
    await remembered();
    await happen(`Now: @everyone <@123456789012345678>`);
    here.host.boardLines = [...here.host.boardLines, say`Next: ${person("discord:1")}`];
    await pass(15 * SECOND);
    await eventually(() => expect(boards()[0]?.edits).toBe(1));
    expect(boards()[0]).toMatchObject({ mentions: [], mentionEveryone: false, flags: 4096 });
  });

  it("survives trouble with the platform, and catches up", async () => {
    await remembered();
    here.standIn.faults.plant(
      "before",
      "PATCH",
      /messages\/\d+$/,
      { do: "status", status: 500 },
      { times: 3 },
    );
    await happen("Now: #4");
    await pass(15 * SECOND);
    await eventually(() => expect(here.logged.join("\n")).toContain("the board is not up to date"));
    await pass(MINUTE);
    await eventually(() => expect(boards()[0]?.content).toContain("Now: #4"));
  });

  it("does not hold up the end while the platform asks to wait", async () => {
    await remembered();
    here.standIn.faults.plant("before", "PATCH", /messages/, {
      do: "rate-limit",
      retryAfterSeconds: 3_600,
      global: true,
    });
    await happen("Now: #1");
    await pass(15 * SECOND);
    await eventually(() => expect(here.standIn.faults.spent()).toBe(true));
    let stopped = false;
    void here.surface.stop().then(() => {
      stopped = true;
    });
    await eventually(async () => {
      await pass(SECOND);
      expect(stopped).toBe(true);
    });
  });
});
