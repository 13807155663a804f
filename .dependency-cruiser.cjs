/** Imports point one way; the reasons are in DEVELOPERS.md. */
const PURE = "^src/(sky|observatory|queue|forecast)/";
const PURE_ROOMS = ["base", "sky", "observatory", "queue", "forecast"];
const only = (from, allowed, comment) => ({
  name: `${from}-imports`,
  severity: "error",
  comment,
  from: { path: `^src/${from}/` },
  to: {
    path: "^src/",
    pathNot: `^src/(${[from, ...allowed].join("|")})(/|[.]ts$)`,
    dependencyTypesNot: ["type-only"],
  },
});

module.exports = {
  forbidden: [
    {
      name: "no-cycles",
      severity: "error",
      from: {},
      to: { circular: true, viaOnly: { dependencyTypesNot: ["type-only"] } },
    },
    {
      name: "pure-folders-have-no-io",
      severity: "error",
      comment:
        "sky, observatory, queue and forecast are computation: no clock, no platform package, no I/O (worker pool and data files aside)",
      from: { path: PURE, pathNot: "^src/(sky/load-|forecast/pool)" },
      to: {
        path: "^(fs|node:|http|net|child_process|worker_threads|discord\\.js|fastify|ws|keyv|libsql|node-cron|pino)|base/clock",
      },
    },
    only("base", [], "base knows nothing of the rest"),
    only("sky", ["base"], "sky ← everything"),
    only("observatory", ["base", "sky"], ""),
    only("queue", ["base", "sky", "observatory"], ""),
    only("forecast", ["base", "sky", "observatory", "queue"], ""),
    only("journal", [...PURE_ROOMS], ""),
    only("config", ["base", "sky", "observatory", "queue"], ""),
    only("estimates", [...PURE_ROOMS, "journal", "config"], "what is foreseen, for whoever asks"),
    only("notices", [...PURE_ROOMS, "journal", "config", "estimates"], ""),
    only(
      "schedule",
      [...PURE_ROOMS, "journal", "config", "estimates", "notices"],
      "jobs decide events; surfaces and links hear of them from the journal",
    ),
    only("pictures", [...PURE_ROOMS, "journal", "config", "estimates"], ""),
    only(
      "commands",
      [...PURE_ROOMS, "journal", "config", "estimates", "notices", "pictures"],
      "commands never import an adapter",
    ),
    only(
      "telescope",
      [...PURE_ROOMS, "journal", "config", "estimates", "pictures"],
      "links never import surfaces or commands",
    ),
    only(
      "chat",
      [...PURE_ROOMS, "journal", "config", "estimates", "notices", "pictures", "commands"],
      "surfaces never import links",
    ),
    only(
      "tools/backtest",
      [...PURE_ROOMS, "config", "journal", "estimates", "tools/manual-clock"],
      "the backtest sees what the forecast sees, and the truth",
    ),
    {
      name: "truth-apart",
      severity: "error",
      comment: "the truth model shares no code with the forecast that it judges",
      from: { path: "^src/tools/backtest/truth/" },
      to: { path: "^src/(forecast|estimates|tools/backtest/(?!truth/))" },
    },
    {
      name: "adapters-apart",
      severity: "error",
      comment: "telescope/frames is what the links share",
      from: { path: "^src/(chat|telescope)/([^/]+)/" },
      to: { path: "^src/$1/([^/]+)/", pathNot: "^src/($1/$2|telescope/frames)/" },
    },
    {
      name: "only-main-wires",
      severity: "error",
      from: { path: "^src/", pathNot: "^src/(main|check|wiring|tools)" },
      to: { path: "^src/(main|wiring)" },
    },
  ],
  options: {
    tsPreCompilationDeps: true,
    tsConfig: { fileName: "tsconfig.json" },
    parser: "swc",
    doNotFollow: { path: "node_modules" },
    enhancedResolveOptions: { extensions: [".ts", ".js", ".json"] },
  },
};
