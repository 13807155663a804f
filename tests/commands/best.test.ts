/** Waiting for a target's best: said and offered with each request, kept under every rule, given up rather than missed. */
import { describe, expect, it } from "vitest";
import { MINUTE } from "../../src/base/units.js";
import { bestStart } from "../../src/queue/best-start.js";
import { RULE_NAMES } from "../../src/queue/request.js";
import { jobsFor } from "../../src/schedule/jobs.js";
import { nightOf } from "../../src/sky/night.js";
import { horizontalOf, trackOf } from "../../src/sky/track.js";
import { local, mira, openWorld, quill, read, tomas, type World } from "./world.js";

const EIGHT = "2026-11-25T20:00";

function altitudeAt(world: World, number: number, unixMs: number): number {
  const { desk, config } = world.services;
  const { observatory } = config;
  const target = desk.state.requests.get(number)?.target;
  if (!target) throw new Error("it was asked for");
  const track = trackOf(target, nightOf(unixMs, observatory.site.timeZone), observatory.site);
  return horizontalOf(track, unixMs).altitudeDegrees;
}

const turnOf = (world: World, number: number) =>
  world.services.forecast.central().turns.find((turn) => turn.number === number);

describe("the answer to a request", () => {
  it("says when its target is at its best, how much better than at its start, and offers to wait with a button", async () => {
    const world = openWorld(EIGHT);
    const reply = await world.type("/request M42 clear 20 1");
    expect(read(reply)).toMatch(
      /It is at its best at 0\d:\d\d, at 4\d° \(airmass 1\.\d\d\), against 2\d° \(airmass 2\.\d\d\) when it starts\./,
    );
    const offer = reply.actions?.find(({ label }) => label === "Wait for its best");
    if (!offer) throw new Error("it is offered");
    const waits = read(await world.press(offer));
    expect(waits).toContain("#1 M42: waits for its best, waits for its time");
    expect(waits).toMatch(/It waits for its best, from 0\d:\d\d, as you asked|Starts about 0\d:\d\d/);
    expect(waits).toContain("<As soon as it can be> /wait 1 now");
    const said = read(await world.type("/when 1"));
    expect(said).toMatch(/It waits for its best, from 0\d:\d\d, as you asked\./);
  });

  it("offers nothing where it stands near its best already, or sinks", async () => {
    const world = openWorld(EIGHT);
    for (const target of ["M31", "M57"]) {
      const reply = await world.type(`/request ${target} clear 20 1`);
      expect(read(reply)).toMatch(/It is at its best at \d\d:\d\d, at \d\d° \(airmass \d\.\d\d\)\./);
      expect(read(reply)).not.toContain("Wait for its best");
    }
    expect(read(await world.type("/wait 2"))).toContain("stands no better later tonight");
    expect(read(await world.type("/request M15 clear 20 1 best=yes", tomas))).not.toContain("as you asked");
  });
});

describe("a request that waits for its best", () => {
  it.each(RULE_NAMES)("under %s is exposed about when its target stands highest", async (rule) => {
    const world = openWorld(EIGHT, (config) => ({ ...config, queue: { ...config.queue, rule } }));
    await world.type("/request M42 clear 300 2 best=yes");
    const turn = turnOf(world, 1);
    if (!turn) throw new Error("it has a turn");
    const middle = (turn.exposingUnixMs + turn.freeUnixMs) / 2;
    const at = altitudeAt(world, 1, middle);
    for (const minutes of [-30, 30])
      expect(at).toBeGreaterThan(altitudeAt(world, 1, middle + minutes * MINUTE));
    expect(world.services.forecast.nextStep().do).toBe("wait");
  });

  it("taken back, has the earliest time again that was asked for", async () => {
    const world = openWorld(EIGHT);
    await world.type("/request M42 clear 20 1 notbefore=22:30 best=yes");
    expect(turnOf(world, 1)?.takenUnixMs).toBeGreaterThan(local("2026-11-26T00:00"));
    expect(read(await world.type("/wait 1 now"))).toContain("#1 M42: waits no longer");
    expect(turnOf(world, 1)?.takenUnixMs).toBe(local("2026-11-25T22:30"));
  });

  it("is its owner's alone, and only while it waits", async () => {
    const world = openWorld(EIGHT);
    await world.type("/request M42 clear 20 1", mira);
    expect(read(await world.type("/wait 1", quill))).toContain("#1 is not yours");
    await world.type("/withdraw 1", mira);
    expect(read(await world.type("/wait 1", mira))).toContain("is withdrawn already");
  });
});

it("carried over, it waits for the best of the night that begins", async () => {
  const world = openWorld(EIGHT);
  await world.type("/request M42 clear 20 1 best=yes");
  const first = world.services.desk.state.requests.get(1)?.notBeforeUnixMs ?? 0;
  await world.clock.moveTo(local("2026-11-26T12:00"));
  const { desk, config, forecast } = world.services;
  const [roll] = jobsFor({ config, forecast });
  const now = world.clock.now();
  await world.happen(() => roll?.events(desk.state, now, now) ?? []);
  const { notBeforeUnixMs, best } = desk.state.requests.get(1) ?? {};
  // Four minutes sooner by the clock each night.
  expect(((notBeforeUnixMs ?? 0) - first) / MINUTE).toBeCloseTo(24 * 60 - 4, -1);
  expect(best).toEqual({ notBeforeUnixMs: null });
});

it("what still rises at dawn waits no longer than leaves time for it", () => {
  const world = openWorld(EIGHT);
  const { observatory } = world.services.config;
  const late = {
    kind: "fixed",
    id: "late",
    name: "late",
    type: "star",
    raDegrees: 190,
    decDegrees: 0,
    magnitude: 5,
    sizeArcminutes: null,
  } as const;
  const needMs = 40 * MINUTE;
  const best = bestStart(late, needMs, world.clock.now(), observatory);
  expect(best && best.bestUnixMs - best.startUnixMs).toBeGreaterThan(needMs + 10 * MINUTE);
});
