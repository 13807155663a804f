import { it } from "vitest";
import { seededRandom } from "../src/base/random.js";
import { HOUR } from "../src/base/units.js";
import { randomNight, fixedTarget } from "./forecast/random-night.js";
import { Machines } from "../src/forecast/machines.js";
import { targetNights } from "../src/queue/target-night.js";
import { queueTable } from "../src/queue/queue-table.js";
import { Problem } from "../src/queue/planner/problem.js";
import { planQueue } from "../src/queue/planner/plan-queue.js";
import { Schedule } from "../src/queue/planner/schedule.js";
import { DONE } from "../src/queue/planner/worth.js";
import { nightSkyOf } from "../src/observatory/night-sky.js";
import { nightOf } from "../src/sky/night.js";
import type { NightInput } from "../src/forecast/night-run.js";

function problemOf(n: NightInput): Problem {
  const machines = new Machines(n.observatory, n.overheads, n.pointing);
  const table = queueTable(n.waiting, targetNights(n.nowUnixMs, n.observatory), (r) => machines.exposingMs(r));
  return new Problem({ fromUnixMs: n.nowUnixMs, untilUnixMs: n.untilUnixMs, site: n.observatory.site, table, machines, waitingRows: n.waiting.length, overdue: () => false });
}
function exhaustive(p: Problem, rows: number[]): { value: number; rows: number[]; starts: number[] } {
  const s = new Schedule(p);
  let best = { value: -1, rows: [] as number[], starts: [] as number[] };
  const order: number[] = [];
  const used = new Set<number>();
  const rec = (): void => {
    let any = false;
    const k = order.length;
    for (const r of rows) {
      if (used.has(r)) continue;
      const free = s2[k]!.free; p.stand(s2[k]!.pointing);
      if (!p.begin(r, free)) continue;
      any = true;
      s2[k + 1] = { free: p.freeUnixMs, pointing: p.pointing };
      order.push(r); used.add(r); rec(); order.pop(); used.delete(r);
    }
    if (!any) { if (order.length * DONE < best.value - 0) { if (order.length * DONE <= best.value) return; } const v = s.playWaiting(order); if (v > best.value) best = { value: v, rows: [...s.order.slice(0, s.count)], starts: [...s.start.slice(0, s.count)] }; }
  };
  p.stand();
  const s2: { free: number; pointing: typeof p.pointing }[] = [{ free: p.task.fromUnixMs, pointing: p.pointing }];
  rec();
  return best;
}
function searchTier(p: Problem, _rows: number[], rounds: number): { rows: Int32Array; starts: Float64Array; value: number } {
  const plan = planQueue(p, { rounds });
  const rowOf = new Map(p.task.table.requests.map((r, row) => [r.number, row]));
  const w = new Map(plan.waits);
  const s = new Schedule(p);
  s.play(plan.order.map((x) => rowOf.get(x)!), plan.order.map((x) => w.get(x) ?? -Infinity));
  return s.copy();
}
const kinds = ["short", "setting", "ample", "mixed"] as const;
function caseOf(kind: (typeof kinds)[number], seed: number, count = 6): NightInput {
  const { uniform } = seededRandom(seed);
  const date = ["2026-02-03", "2026-04-28", "2026-09-09", "2026-11-25"][Math.floor(uniform() * 4)]!;
  const n = randomNight({ seed: seed * 7 + 1, date, requests: count, targets: count });
  const dark = nightSkyOf(nightOf(n.nowUnixMs, n.observatory.site.timeZone), n.observatory).dark[0]!;
  const work = n.waiting.reduce((s, r) => s + r.frames * (r.exposureSeconds + 3) * 1000 + 40_000, 0);
  const now = kind === "ample" ? dark.openUnixMs + uniform() * HOUR : kind === "short" ? dark.closeUnixMs - work * (0.5 + 0.3 * uniform()) : kind === "setting" ? dark.openUnixMs + 2 * HOUR * uniform() : dark.closeUnixMs - work * (1 + 3 * uniform());
  let waiting = n.waiting;
  if (kind === "setting") {
    // targets in the west
    const nights = targetNights(n.nowUnixMs, n.observatory);
    waiting = n.waiting.map((r) => {
      for (let t = 0; t < 200; t++) {
        const target = fixedTarget(`S${seed}-${r.number}-${t}`, uniform() * 360, -20 + 60 * uniform());
        const w = nights(target).windows.find((x) => x.openUnixMs <= now && x.closeUnixMs > now);
        if (w && w.closeUnixMs - now < work * 0.9) return { ...r, target };
      }
      return r;
    });
  }
  return { ...n, waiting, nowUnixMs: Math.round(now) };
}
const air = (p: Problem, r: { rows: ArrayLike<number>; starts: ArrayLike<number> }) => { const s = new Schedule(p); s.play(r.rows, r.starts); let a = 0; for (let i = 0; i < s.count; i++) a += p.airmass(s.order[i]!, s.start[i]! + s.ready[i]!); return a / s.count; };
it("judge", () => {
  for (const kind of kinds) {
    let opt = 0, got = 0, dA = 0, worst = 0, ms = 0, lost2 = 0, acts = 0; let dV = 0; let exms = 0;
    for (let seed = 1; seed <= 40; seed++) {
      const n = caseOf(kind, seed + 100 * kinds.indexOf(kind));
      const p = problemOf(n);
      const rows = [...n.waiting.keys()];
      const t0 = performance.now();
      const a0 = p.actions;
      const plan = searchTier(p, rows, 1);
      ms += performance.now() - t0; acts += p.actions - a0;
      const t1 = performance.now();
      const ex = exhaustive(p, rows);
      exms += performance.now() - t1;
      opt += ex.rows.length; got += plan.rows.length;
      if (ex.rows.length - plan.rows.length > 1) lost2++;
      if (ex.rows.length === plan.rows.length && ex.rows.length) { const d = air(p, plan) - air(p, ex); dA += d; worst = Math.max(worst, d); dV += ex.value - plan.value; }
    }
    console.log(kind, "opt", opt, "got", got, (got / opt * 100).toFixed(2), "dAir", (dA / 40).toFixed(4), "worst", worst.toFixed(3), "dV", (dV / 40).toFixed(4), "ms", (ms / 40).toFixed(1), "acts", acts / 40, "lost2", lost2, "exms", exms / 40);
  }
}, 300000);
it("large", () => {
  for (const [count, targets] of [[40, 30], [120, 60], [300, 60]] as const) for (const seed of [1, 2]) {
    const n0 = randomNight({ seed, date: "2026-11-25", requests: count, targets });
    const dark = nightSkyOf(nightOf(n0.nowUnixMs, n0.observatory.site.timeZone), n0.observatory).dark[0]!;
    const n = { ...n0, nowUnixMs: dark.openUnixMs };
    for (const rounds of [0, 1, 3, 10]) {
      const p = problemOf(n);
      const t0 = performance.now();
      const plan = searchTier(p, [...n.waiting.keys()], rounds);
      console.log(count, seed, "rounds", rounds, "done", plan.rows.length, "air", air(p, plan).toFixed(3), "value", plan.value.toFixed(2), "ms", (performance.now() - t0).toFixed(0), "actions", p.actions);
    }
  }
}, 300000);
