import { it } from "vitest";
import { randomNight } from "./forecast/random-night.js";
import { playNight } from "../src/forecast/play-night.js";
import { planNight } from "../src/forecast/plan-night.js";
import { spreadOf } from "../src/forecast/spread.js";
import { priorBeliefs } from "../src/forecast/learn/beliefs.js";
import { loadConfig } from "../src/config/load.js";
import { airmassAtTrue } from "../src/sky/airmass.js";
it("x", () => {
  const cfg = loadConfig("/work/w10b/config/tern-hollow.yaml");
  for (const [req, tiers] of [[300, 1], [120, 2], [20, 2]] as const) {
    const n = { ...randomNight({ seed: 1, date: "2026-11-25", requests: req, targets: 60, tiers }), };
    const b = priorBeliefs(cfg.forecast, n.observatory);
    const t0 = process.cpuUsage().user;
    const plan = planNight({ ...n, rule: "planned" });
    console.log(req, "plan cpu", (process.cpuUsage().user - t0) / 1000, plan.order.length, plan.waits.length, plan.left.length);
    for (const rule of ["highest-first", "planned"] as const) for (let rep = 0; rep < 3; rep++) {
      const t0 = process.cpuUsage().user; const r = playNight({ ...n, rule, plan }); const t1 = process.cpuUsage().user;
      const s = spreadOf({ ...n, rule, plan }, b, { runs: 300, seed: 1 });
      let done = 0; for (const x of s.starts) if (!Number.isNaN(x)) done++;
      const air = r.turns.reduce((a, t) => a + airmassAtTrue(t.altitudeDegrees), 0) / r.turns.length;
      console.log(rule, r.turns.length, air.toFixed(3), "spread done", (done / 300).toFixed(1), (t1 - t0) / 1000, (process.cpuUsage().user - t1) / 1000);
    }
    const order = playNight({ ...n, rule: "planned", plan }).turns.map((t) => t.number);
    console.log("same order", JSON.stringify(order.slice(0, plan.order.length)) === JSON.stringify(plan.order), order.length, JSON.stringify(order.slice(0, 12)), JSON.stringify(plan.order.slice(0, 12)));
  }
}, 60000);
