/** What the truth makes of its parameters. */
import { describe, expect, it } from "vitest";
import { MINUTE } from "../../../src/base/units.js";
import { loadCatalogue } from "../../../src/sky/load-catalogue.js";
import { truthWith } from "../../../src/tools/backtest/truth/load.js";
import type { TruthSite } from "../../../src/tools/backtest/truth/parameters.js";
import { nightDates, nightsOf, observatoryAt } from "../../../src/tools/backtest/truth/season.js";
import { ternHollow } from "../../forecast/random-night.js";

const { targets } = loadCatalogue();

function nights(changes: object, count = 6, seed = 1, demand = 1) {
  const truth = truthWith(changes, "test");
  const observatory = observatoryAt(ternHollow, truth.sites[0] as TruthSite);
  return [...nightsOf({ truth, site: 0, observatory, targets, nights: count, demand, seed })];
}

const total = (list: readonly { readonly requests: readonly unknown[] }[]) =>
  list.reduce((sum, { requests }) => sum + requests.length, 0);

describe("truth nights", () => {
  it("are the same for the same seed, and others for another", () => {
    const summary = (seed: number) => nights({}, 3, seed).map(({ requests, cloud }) => ({ requests, cloud }));
    expect(summary(1)).toEqual(summary(1));
    expect(summary(2)).not.toEqual(summary(1));
  });

  it("number their requests on from night to night, in order of asking", () => {
    const requests = nights({}).flatMap((night) => night.requests);
    expect(requests.map(({ number }) => number)).toEqual(requests.map((_, index) => index + 1));
    for (const [index, request] of requests.entries())
      expect(request.askedUnixMs).toBeGreaterThanOrEqual(requests[index - 1]?.askedUnixMs ?? 0);
  });

  it("let the class ask in bursts when it does", () => {
    const gaps = (burstShare: number) => {
      const asked = nights({ arrivals: { burstShare, earlyPerStudent: 0, latePerHour: 0 } }).map((night) =>
        night.requests.filter(({ tier }) => tier === 1).map(({ askedUnixMs }) => askedUnixMs),
      );
      const close = asked.flatMap((each) => each.map((unixMs, index) => unixMs - (each[index - 1] ?? 0)));
      return close.filter((gap) => gap < MINUTE / 2).length / close.length;
    };
    expect(gaps(1)).toBeGreaterThan(gaps(0) + 0.1);
  });

  it("ask for more when there is more demand", () => {
    expect(total(nights({}, 6, 1, 4))).toBeGreaterThan(3 * total(nights({}, 6, 1, 1)));
  });

  it("hold the queue only while it is cloudy or just after, in spells apart from one another", () => {
    for (const { cloud } of nights({ cloud: { kinds: [cloudy] } })) {
      expect(cloud.length).toBeGreaterThan(2);
      let last = 0;
      for (const { fromUnixMs, untilUnixMs, hold } of cloud) {
        expect(fromUnixMs).toBeGreaterThan(last);
        expect(untilUnixMs).toBeGreaterThan(fromUnixMs);
        if (hold) expect(hold.fromUnixMs).toBeGreaterThanOrEqual(fromUnixMs);
        if (hold) expect(hold.untilUnixMs).toBeGreaterThanOrEqual(untilUnixMs);
        last = Math.max(untilUnixMs, hold?.untilUnixMs ?? 0);
      }
    }
  });

  it("take longer by the factors, the same for the same action in whatever order", () => {
    const exact = { factor: 1, nightSpread: 0, actionSpread: 0 };
    const machines = { dome: { ...exact, factor: 3 }, settle: exact, stuckShare: 0, slowingNightShare: 0 };
    const [night] = nights({ machines }, 1);
    const action = { number: 7, attempt: 1, atUnixMs: 0, readOutMs: 0 };
    const first = night?.times(oneMinuteDome, action);
    night?.times(oneMinuteDome, { ...action, number: 8 });
    expect(first?.times.domeMs).toBe(3 * MINUTE);
    expect(night?.times(oneMinuteDome, action)).toEqual(first);
    expect(first?.times.readyMs).toBe(first!.times.domeMs + first!.times.settleMs);
  });

  it("follow one another through the seasons, a year later when a season is over already", () => {
    const place = { seasons: ["2026-01-05", "2026-02-02"], timeZone: "Etc/UTC" } as unknown as TruthSite;
    const dates = (count: number) => nightDates(count, place, 10).map(({ date }) => date);
    expect(dates(4)).toEqual(["2026-01-05", "2026-01-15", "2026-02-02", "2026-02-12"]);
    expect(dates(8).slice(3, 6)).toEqual(["2026-02-04", "2027-02-02", "2027-02-12"]);
  });
});

const spell = { medianMinutes: 30, spread: 0.5 };
const cloudy = { weight: 1, open: spell, closed: spell };
const oneMinuteDome = {
  slewMs: 0,
  domeMs: MINUTE,
  filterMs: 0,
  shutterMs: 0,
  settleMs: 4_000,
  readyMs: MINUTE + 4_000,
  exposingMs: 0,
  handOverMs: 0,
  totalMs: MINUTE + 4_000,
};
