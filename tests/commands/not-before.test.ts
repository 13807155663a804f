/** What waits for its target to rise is told from when it can be observed at all. */
import { expect, it } from "vitest";
import type { Button } from "../../src/base/button.js";
import { clockTime, say } from "../../src/base/phrase.js";
import { windowsOf } from "../../src/observatory/window.js";
import { nightNamed } from "../../src/sky/night.js";
import { openWorld, read, text, ZONE } from "./world.js";

it("a request for a target that rises later is not before its window opens", async () => {
  const world = openWorld();
  const { catalogue, config } = world.services;
  const target = catalogue.lookUp("M65").found;
  if (!target) throw new Error("M65 is in the catalogue");
  const [window] = windowsOf(target, nightNamed("2026-11-25", ZONE), config.observatory);
  await world.type("/request M65 clear 20 1");
  const opens = text(say`${clockTime(window?.openUnixMs as number)}`);
  expect(read(await world.type("/when 1"))).toContain(
    `Starts about ${opens}. It waits until ${opens}, when it stands high enough.`,
  );
});

it("one that can be observed now is told nothing of the kind", async () => {
  const world = openWorld();
  await world.type("/request M31 clear 20 1");
  expect(read(await world.type("/when 1"))).not.toMatch(/waits (for|until)/);
});

it("a time that the clock shows twice is asked back, with both to press", async () => {
  const world = openWorld("2026-10-31T20:00");
  for (const time of ["01:30", "2026-11-01 01:30"]) {
    const asked = await world.type(`/request M31 clear 20 1 notbefore=${time}`);
    expect(asked.title).toBe("Which one?");
    expect(read(asked)).toContain(
      "The clocks go back then, and 01:30 comes twice: type 2026-11-01T01:30-05:00 for the first, 2026-11-01T01:30-06:00 for the second.",
    );
    const [first, second] = asked.actions ?? [];
    await world.press(first as Button);
    await world.press({ ...(second as Button), options: { ...second?.options, anyway: "yes", frames: 2 } });
  }
  const times = [...world.services.desk.state.requests.values()].map((each) => each.notBeforeUnixMs);
  expect(times.slice(0, 2)).toEqual([
    Date.parse("2026-11-01T01:30:00-05:00"),
    Date.parse("2026-11-01T01:30:00-06:00"),
  ]);
});

it("between the two only the second is to come", async () => {
  const world = openWorld("2026-10-31T20:00");
  await world.clock.moveTo(Date.parse("2026-11-01T01:40:00-05:00"));
  await world.type("/request M31 clear 20 1 notbefore=01:30");
  expect(world.services.desk.state.requests.get(1)?.notBeforeUnixMs).toBe(
    Date.parse("2026-11-01T01:30:00-06:00"),
  );
});

it("the Moon's rising and setting are told in order, with the day where it is another", async () => {
  expect(read(await openWorld("2026-11-21T13:00").type("/tonight"))).toMatch(
    /Moon: [^;]*; rises at 1\d:\d\d, sets at Sun 22 Nov 0\d:\d\d\./,
  );
});

it("a dome whose shutter is opening is not called open", async () => {
  const world = openWorld();
  world.status = { ...world.status, activity: "moving", waitingFor: "shutter" };
  await world.happen(() => [
    {
      type: "equipment.changed",
      by: null,
      equipment: { telescope: "ready", dome: "open", camera: "fitted", sky: "clear" },
    },
  ]);
  for (const line of ["/tonight", "/telescope"]) {
    const said = read(await world.type(line));
    expect(said).toContain("the dome's shutter is opening");
    expect(said).toContain("dome opening");
    expect(said).not.toContain("dome open,");
  }
});
