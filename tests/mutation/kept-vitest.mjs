/**
 * Runs the tests for the mutator in a vitest whose modules stay loaded from one change to the next: loading them takes
 * many times as long as the few tests that reach one line. `kept-runner.mjs` is its other end, in vitest's worker.
 */

import { existsSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { commonTokens, declareClassPlugin, PluginKind, tokens } from "@stryker-mutator/api/plugin";
import {
  DryRunStatus,
  determineHitLimitReached,
  TestStatus,
  toMutantRunResult,
} from "@stryker-mutator/api/test-runner";
import { createVitest } from "vitest/node";

const HERE = new URL(".", import.meta.url).pathname;
/** As seen from the sandbox. */
const COMPILED = "../../../../dist";
/** In the sandbox: milliseconds of each test, for runners that start later. */
const TIMES = "test-times.json";
/** For one change: what the quickest of its tests take together where nothing is changed. */
const BUDGET_MS = 10_000;
/** Of the mutator's limit on how often a changed place is passed, which waits a hundred times as long as usual. */
const PATIENCE = 0.1;

class KeptVitest {
  static inject = tokens(commonTokens.logger);

  constructor(log) {
    this.log = log;
  }

  /** Nothing need be loaded again: a change is switched on while the tests run, and what is fixed at loading is left out. */
  capabilities() {
    return { reloadEnvironment: true };
  }

  async init() {
    // Some tests start a child of the compiled program; what is changed runs in the test's own process.
    if (!existsSync("dist")) symlinkSync(COMPILED, "dist");
    this.line = new BroadcastChannel(`mutants-${process.pid}`);
    const isReady = new Promise((resolve) => {
      this.line.onmessage = resolve;
    });
    process.env.MUTANTS_LINE = this.line.name;
    this.vitest = await createVitest("test", {
      config: `${HERE}vitest.config.ts`,
      watch: false,
      reporters: [{}],
      pool: "threads",
      maxWorkers: 1,
      runner: `${HERE}kept-runner.mjs`,
      onConsoleLog: () => false,
    });
    const specs = await this.vitest.globTestSpecifications();
    this.files = specs.map(({ moduleId }) => moduleId).sort();
    // One file gives the worker something to begin with; it then stays and hears what to play.
    this.ending = this.vitest.runTestSpecifications(
      specs.filter(({ moduleId }) => moduleId === this.files[0]),
    );
    await isReady;
  }

  /** A test that fails while nothing is changed, on a machine that has too much to do, says nothing of any change. */
  async dryRun() {
    const { tests, coverage } = await this.ask({ files: this.files, ids: null, mutant: null });
    for (const { id, problem } of tests) if (problem !== null) this.log.warn("Left out: %s: %s", id, problem);
    const passed = tests.filter(({ problem }) => problem === null);
    writeFileSync(
      TIMES,
      JSON.stringify(Object.fromEntries(passed.map((test) => [test.id, test.milliseconds]))),
    );
    const ids = new Set(passed.map(({ id }) => id));
    coverage.perTest = Object.fromEntries(Object.entries(coverage.perTest).filter(([id]) => ids.has(id)));
    return { status: DryRunStatus.Complete, tests: passed.map(asResult), mutantCoverage: coverage };
  }

  async mutantRun({ testFilter, activeMutant, hitLimit }) {
    const limit = hitLimit && Math.ceil(hitLimit * PATIENCE);
    let result = await this.askFor(testFilter, activeMutant.id, limit);
    if (await this.isDoubtful(result)) result = await this.askAfresh(testFilter, activeMutant.id, limit);
    const isEndless = determineHitLimitReached(result.hits, limit);
    return toMutantRunResult(
      isEndless ?? { status: DryRunStatus.Complete, tests: result.tests.map(asResult) },
    );
  }

  /** What earlier changes left in a module's memory may fail a test, or spare it the changed line. */
  async isDoubtful({ tests, hits }) {
    const failed = tests.find(({ problem }) => problem !== null);
    if (!failed) return hits === 0;
    const unchanged = await this.askFor([failed.id], null, undefined);
    return unchanged.tests.some(({ problem }) => problem !== null);
  }

  async askAfresh(ids, mutant, hitLimit) {
    this.log.info("Loaded anew for %s.", mutant);
    await this.dispose();
    await this.init();
    return this.askFor(ids, mutant, hitLimit);
  }

  /**
   * The quickest files first, as most changes are noticed by many; no more of them than fit into the budget, so that a
   * change that only a long test would notice counts as not noticed.
   */
  askFor(ids, mutant, hitLimit) {
    const times = existsSync(TIMES) ? JSON.parse(readFileSync(TIMES, "utf8")) : {};
    const files = new Map();
    for (const id of ids) files.set(fileOf(id), (files.get(fileOf(id)) ?? 0) + (times[id] ?? 0));
    const quickestFirst = [...files].sort(([, a], [, b]) => a - b);
    let spent = 0;
    const last = quickestFirst.findIndex(([, time]) => {
      spent += time;
      return spent > BUDGET_MS;
    });
    const chosen = last < 0 ? quickestFirst : quickestFirst.slice(0, last + 1);
    return this.ask({ files: chosen.map(([file]) => file), ids, mutant, hitLimit });
  }

  ask(question) {
    return new Promise((resolve) => {
      this.line.onmessage = ({ data }) => resolve(data);
      this.line.postMessage(question);
    });
  }

  async dispose() {
    this.line?.postMessage("enough");
    await this.ending;
    await this.vitest?.close();
    this.line?.close();
  }
}

function asResult({ id, problem, milliseconds }) {
  const base = { id, name: id, timeSpentMs: milliseconds, fileName: fileOf(id) };
  return problem === null
    ? { ...base, status: TestStatus.Success }
    : { ...base, status: TestStatus.Failed, failureMessage: problem };
}

function fileOf(id) {
  return id.slice(0, id.indexOf("#"));
}

export const strykerPlugins = [declareClassPlugin(PluginKind.TestRunner, "kept-vitest", KeptVitest)];
