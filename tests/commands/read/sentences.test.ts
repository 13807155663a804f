/** Two hundred sentences, and what each is taken for. */
import { expect, it } from "vitest";
import type { Button } from "../../../src/base/button.js";
import { Refusal } from "../../../src/base/refusal.js";
import type { RawOptions } from "../../../src/commands/command.js";
import { Offer } from "../../../src/commands/offer.js";
import { readDuration } from "../../../src/commands/read/read-duration.js";
import { readFilter, readTarget } from "../../../src/commands/read/read-sky.js";
import { readWish } from "../../../src/commands/read/read-wish.js";
import { splitWish } from "../../../src/commands/read/split-wish.js";
import { understand } from "../../../src/commands/read/understand.js";
import { commandTable } from "../../../src/commands/table.js";
import { openWorld, read } from "../world.js";
import { SENTENCES } from "./sentences.js";

const { services } = openWorld();
const { catalogue, config } = services;
const { filters } = config.observatory.camera;

function wishWords(target: string, options: RawOptions): string[] {
  const { filter, exposure, frames, notbefore, note, date } = options;
  return [
    readTarget(target, { command: "request", options, option: "target" }, services).id,
    ...(filter === undefined ? [] : [readFilter(String(filter), filters)]),
    ...(exposure === undefined ? [] : [String(readDuration(String(exposure), "seconds")?.seconds)]),
    ...(frames === undefined ? [] : [`x${frames}`]),
    ...(notbefore === undefined ? [] : [String(notbefore)]),
    ...(note === undefined ? [] : [`(${note})`]),
    ...(date === undefined ? [] : [`night ${date}`]),
  ];
}

function meaningOf(line: string): string {
  try {
    const { command, options } = understand(line, commandTable, services);
    if (command === "request") {
      const wish = splitWish(options, catalogue, filters);
      if (wish.target === "") return "?missing";
      return ["request", ...wishWords(String(wish.target), wish)].join(" ");
    }
    if (command !== "target") return [command, ...Object.values(options)].join(" ");
    const { target, wider, options: beside, strange } = readWish(String(options.name), catalogue, filters);
    const not = strange.length === 0 ? [] : [`not: ${strange.join(" ")}`];
    return ["card", ...wishWords(wider ?? target, beside), ...not].join(" ");
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    const presses =
      error instanceof Offer ? error.actions.map(({ label }) => label.replace("Ask for ", "")) : [];
    return `?${error.code} ${presses.join(", ")}`.trim();
  }
}

it.each(SENTENCES)("“%s” means %s", (line, meaning) => {
  const meant = meaningOf(line);
  if (meaning.endsWith("…")) expect(`${meant.replace(",", "")} `).toContain(meaning.replace("…", ""));
  else expect(meant).toBe(meaning);
});

it("a sentence is carried out like the command", async () => {
  const world = openWorld();
  expect(read(await world.type("can I have the ring nebula?"))).toContain("#1 M57");
  expect(read(await world.type("please observe the flying teapot"))).toContain(
    'There is nothing called "flying teapot" in the catalogue',
  );
  expect(read(await world.type("take a picture of"))).toContain("/request needs the target");
});

it("a bare name shows the card with one press to ask, and what was said beside it", async () => {
  const world = openWorld();
  const card = await world.type("m33 R 2min x3 fancy, for my lab");
  const said = read(card);
  expect(said).toContain("Triangulum Galaxy (M33), a galaxy");
  expect(said).toMatch(
    /As you wrote it: 3 frames of 120 s, filter R, note “for my lab”; expect a .*signal to noise about \d+/,
  );
  expect(said).toContain("I did not understand “fancy”.");
  expect(world.services.desk.state.requests.size).toBe(0);
  await world.press(card.actions?.[0] as Button);
  expect(world.services.desk.state.requests.get(1)).toMatchObject({
    ...{ filter: "R", exposureSeconds: 120, frames: 3, note: "for my lab", target: { id: "M33" } },
  });
});

it("what was meant can be pressed, with all that was understood", async () => {
  const world = openWorld();
  const offer = await world.type("can i get andromida galaxy in red for 2 min");
  expect((await world.press(offer.actions?.[0] as Button)).title).toMatch(/^#1 M31/);
  expect(world.services.desk.state.requests.get(1)).toMatchObject({ filter: "R", exposureSeconds: 120 });
  const taurus = await world.type("Taurus R 60");
  expect(taurus.title).toBe("Which one?");
  expect(read(taurus)).toContain("Taurus is a constellation. Worth asking for now: Pleiades (M45)");
  await world.press(taurus.actions?.[0] as Button);
  expect(world.services.desk.state.requests.get(2)).toMatchObject({ filter: "R", target: { id: "M45" } });
});

it("they are two hundred and more, all different", () => {
  expect(new Set(SENTENCES.map(([line]) => line)).size).toBe(SENTENCES.length);
  expect(SENTENCES.length).toBeGreaterThanOrEqual(200);
});
