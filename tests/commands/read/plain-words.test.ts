/** What people type who do not think in slash commands. */
import { describe, expect, it } from "vitest";
import { parseLine } from "../../../src/commands/read/parse-text.js";
import { commandTable } from "../../../src/commands/table.js";
import { openWorld, read } from "../world.js";

const understood = (line: string): string => {
  const { command, options } = parseLine(line, commandTable);
  return [command, ...Object.values(options)].join(" ");
};

describe("A wish for a target", () => {
  it.each([
    ["please observe M31", "request m31"],
    ["Observe M31, please!", "request m31"],
    ["can I have the ring nebula?", "request the ring nebula"],
    ["Could we please get Saturn tonight?", "request saturn"],
    ["can you take a picture of the moon", "request the moon"],
    ["I want to see the Pleiades", "request the pleiades"],
    ["I'd like Jupiter please", "request jupiter"],
    ["we would like to photograph NGC 7000", "request ngc 7000"],
    ["I want M57", "request m57"],
    ["take 3 pictures of M13", "request m13 x3"],
    ["take a photo of Vega", "request vega"],
    ["photograph the whirlpool galaxy", "request the whirlpool galaxy"],
    ["let's look at Albireo", "request albireo"],
    ["point the telescope at M42", "request m42"],
    ["may I ask for M81 clear 20 3", "request m81 clear 20 3"],
    ["image M27 R 1.5m", "request m27 r 1.5m"],
  ])("%s", (line, meant) => expect(understood(line)).toBe(meant));

  it("is carried out like the command", async () => {
    const world = openWorld();
    expect(read(await world.type("can I have the ring nebula?"))).toContain("#1 M57");
    expect(read(await world.type("please observe the flying teapot"))).toContain(
      'There is nothing called "the flying teapot" in the catalogue',
    );
  });
});

describe("A question", () => {
  it.each([
    ["why is it black?", "mine"],
    ["why is my picture so dark", "mine"],
    ["how come my frames failed", "mine"],
    ["why not sooner? #12", "why 12"],
    ["why is 7 before 5", "why 7"],
    ["is it done yet?", "mine"],
    ["where are my pictures?", "mine"],
    ["can I see my frames", "mine"],
    ["when is M31 up?", "target m31"],
    ["where is Jupiter now", "target jupiter"],
    ["how high is the Orion nebula", "target the orion nebula"],
    ["is Saturn up tonight?", "target saturn"],
    ["when can we see Mars?", "target mars"],
    ["tell me about M57", "target m57"],
    ["what is M13?", "target m13"],
    ["show me the ring nebula", "target the ring nebula"],
    ["when will mine run?", "when"],
    ["when is my turn", "when"],
    ["when is it my turn?", "when"],
    ["is it cloudy?", "tonight"],
    ["what can I see?", "tonight"],
    ["how many are waiting?", "queue"],
    ["who is ahead of me", "queue"],
    ["can I see the queue?", "queue"],
    ["is the dome open?", "telescope"],
    ["cancel mine please", "withdraw"],
  ])("%s", (line, meant) => expect(understood(line)).toBe(meant));

  it.each(["observe", "I want", "the weather in spring", "take a picture of"])(
    "%s says nothing yet",
    (line) => expect(() => understood(line)).toThrow(/I did not understand|needs/),
  );
});
