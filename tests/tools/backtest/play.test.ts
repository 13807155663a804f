/** A truth night played event by event: the telescope takes what the rule says, and things happen when they happen. */
import { describe, expect, it } from "vitest";
import { HOUR, MINUTE } from "../../../src/base/units.js";
import type { NightInput } from "../../../src/forecast/night-run.js";
import { playNight } from "../../../src/forecast/play-night.js";
import { parkedPointing } from "../../../src/observatory/pointing.js";
import { RULE_NAMES, type RuleName } from "../../../src/queue/request.js";
import { nightNamed } from "../../../src/sky/night.js";
import { playTruth } from "../../../src/tools/backtest/play.js";
import { type Ended, nobody, type Watcher } from "../../../src/tools/backtest/watcher.js";
import { fixedTarget, randomNight, request, ternHollow } from "../../forecast/random-night.js";
import { madeNight, never } from "./made-night.js";

const DATE = "2026-11-25";
const midnight = nightNamed(DATE, ternHollow.site.timeZone).startUnixMs + 12 * HOUR;
/** Up all night from Tern Hollow. */
const target = fixedTarget("near the pole", 40, 75);
const one = request(1, target, { askedUnixMs: midnight });
const two = request(2, target, { askedUnixMs: midnight + 1 });

describe("playing a truth night", () => {
  it.each(RULE_NAMES.filter((rule) => rule !== "planned"))(
    "does what the central run says when all goes as configured, under %s",
    async (rule) => {
      const night = randomNight({ seed: 5, date: DATE, requests: 40, targets: 12, rule });
      const played = await playTruth(madeNight(DATE, night.waiting), rule, "total", nobody, never);
      const central = playNight(night);
      expect([...played.startUnixMs]).toEqual(central.turns.map((turn) => [turn.number, turn.takenUnixMs]));
      expect(played.left.length).toBe(central.withoutTurn.size);
    },
  );

  it("plans while it goes under planned, and gets as much done as a plan made at once", async () => {
    const night = randomNight({ seed: 5, date: DATE, requests: 40, targets: 12, rule: "planned" });
    const played = await playTruth(madeNight(DATE, night.waiting), "planned", "total", nobody, never);
    expect(played.completions.length).toBeGreaterThanOrEqual(playNight(night).turns.length);
  });

  it("takes nothing while staff hold the queue for cloud", async () => {
    const hold = { fromUnixMs: midnight - HOUR, untilUnixMs: midnight + HOUR, saidUnixMs: null };
    const cloud = [{ ...hold, hold }];
    const { startUnixMs } = await play({ cloud });
    expect(startUnixMs.get(1)).toBe(hold.untilUnixMs);
  });

  it("puts a request back in its place when its frames are lost to cloud", async () => {
    const cloud = [{ fromUnixMs: midnight, untilUnixMs: midnight + 2 * MINUTE, hold: null }];
    const ends: Ended[] = [];
    await play(
      { cloud, lostToCloud: (number, attempt) => number === 1 && attempt === 1 },
      { ended: (end) => void ends.push(end) },
    );
    expect(ends.map(({ action, outcome }) => [action.request.number, outcome])).toEqual([
      [1, "failed"],
      [1, "completed"],
      [2, "completed"],
    ]);
  });

  it("waits for the repair when the camera fails, and counts the first start only", async () => {
    const repairMs = 10 * MINUTE;
    const ends: Ended[] = [];
    const { startUnixMs, completions } = await play(
      {
        fate: (number, attempt) =>
          number === 1 && attempt === 1 ? { fails: true, again: true, repairMs } : { fails: false },
      },
      { ended: (end) => void ends.push(end) },
    );
    expect(startUnixMs.get(1)).toBe(midnight);
    expect(ends[1]?.action.takenUnixMs).toBe(ends[0]!.endedUnixMs + repairMs);
    expect(completions.map((each) => each.request.number)).toEqual([1, 2]);
  });

  it("never takes what was withdrawn before its turn", async () => {
    const { startUnixMs, withdrawnUnixMs } = await play({
      withdrawnUnixMs: ({ number }) => (number === 2 ? midnight + 2 : Number.POSITIVE_INFINITY),
    });
    expect([...startUnixMs.keys()]).toEqual([1]);
    expect(withdrawnUnixMs.get(2)).toBe(midnight + 2);
  });

  it("shows the asker what is planned, not how long the action under way will really take", async () => {
    const asked: NightInput[] = [];
    await play(
      {
        times: (configured, { readOutMs }) => ({
          times: { ...configured, totalMs: 5 * configured.totalMs },
          readOutMs,
        }),
      },
      { question: ({ number }, night) => void (number === 2 && asked.push(night)) },
    );
    const { current, nowUnixMs } = asked[0] as NightInput;
    const planned = playNight({
      ...asked[0]!,
      nowUnixMs: midnight,
      waiting: [one],
      current: null,
      pointing: parkedPointing(ternHollow),
    });
    expect(nowUnixMs).toBe(two.askedUnixMs);
    expect(current?.freeUnixMs).toBe(planned.turns[0]?.freeUnixMs);
  });

  it("reports what each part took beside what was configured, or nothing where it cannot tell", async () => {
    const samplesOf = async (measures: "components" | "total") => {
      const ends: Ended[] = [];
      const ended = (end: Ended) => void ends.push(end);
      await playTruth(madeNight(DATE, [one]), "highest-first", measures, { ...nobody, ended }, never);
      return ends[0]!.action.samples;
    };
    const parts = await samplesOf("components");
    expect(parts.map(({ component }) => component)).toContain("dome");
    expect(parts.every(({ configuredMs, measuredMs }) => configuredMs === measuredMs)).toBe(true);
    expect(await samplesOf("total")).toEqual([]);
  });
});

function play(
  changes: Parameters<typeof madeNight>[2],
  listens: Partial<Watcher> = {},
  rule: RuleName = "first-come",
) {
  return playTruth(
    madeNight(DATE, [one, two], changes),
    rule,
    "components",
    { ...nobody, ...listens },
    never,
  );
}
