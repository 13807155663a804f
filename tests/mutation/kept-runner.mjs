/** In vitest's worker: plays files again and again, as `kept-vitest.mjs` says which, with one change switched on. */
import { startTests } from "@vitest/runner";
import { getFullName, getTests } from "@vitest/runner/utils";
import { TestRunner } from "vitest";

/** What the changed sources look at (`@stryker-mutator/instrumenter`). */
globalThis.__stryker__ ??= {};
const switches = globalThis.__stryker__;

export default class KeptRunner extends TestRunner {
  async onAfterRunFiles() {
    const line = new BroadcastChannel(process.env.MUTANTS_LINE);
    await new Promise((resolve) => {
      line.onmessage = async ({ data }) => {
        if (data === "enough") resolve();
        else line.postMessage(await this.answer(data));
      };
      line.postMessage("ready");
    });
    line.close();
  }

  async answer({ files, ids, mutant, hitLimit }) {
    const play = new Play(this, ids && new Set(ids), mutant, hitLimit);
    const tests = [];
    for (const file of files) {
      tests.push(...(await play.file(file)));
      if (play.isDecided) break;
    }
    return { tests, hits: play.hits, coverage: ids ? undefined : coverageOf(tests) };
  }
}

/** Some tests of some files, up to the first that fails. */
class Play {
  isDecided = false;
  hits = 0;

  constructor(vitest, ids, mutant, hitLimit) {
    this.ids = ids;
    this.mutant = mutant;
    this.hitLimit = hitLimit;
    const state = vitest.workerState;
    this.runner = Object.assign(Object.create(vitest), {
      importFile: (path) => {
        const loaded = state.evaluatedModules.getModuleById(path);
        if (loaded) state.evaluatedModules.invalidateModule(loaded);
        return vitest.moduleRunner.import(path);
      },
      onCollectStart: (file) => {
        state.current = file;
        state.filepath = file.filepath;
      },
      onCollected: (files) => {
        for (const file of files) this.choose(file);
      },
      onBeforeRunSuite: (suite) => {
        state.current = suite;
      },
      onBeforeRunTask: (test) => {
        if (this.isDecided) test.mode = "skip";
        state.current = test;
        switches.currentTestId = idOf(test);
      },
      onAfterRunTask: (test) => {
        switches.currentTestId = wholeFile(test.file.filepath);
        if (test.result?.state === "fail") this.isDecided = this.ids !== null;
      },
      onAfterRunSuite() {},
      onAfterRunFiles() {},
      onTaskUpdate() {},
      onBeforeTryTask() {},
      onAfterTryTask() {},
    });
  }

  async file(path) {
    switches.currentTestId = undefined;
    if (this.ids === null) await this.runner.importFile(path).catch(() => {});
    switches.currentTestId = wholeFile(path);
    Object.assign(switches, { activeMutant: this.mutant ?? "none", hitCount: 0, hitLimit: this.hitLimit });
    const [file] = await startTests([path], this.runner);
    this.hits += switches.hitCount;
    Object.assign(switches, {
      activeMutant: "none",
      hitCount: undefined,
      hitLimit: undefined,
      currentTestId: undefined,
    });
    return resultsOf(file);
  }

  choose(suite) {
    for (const task of suite.tasks)
      if (task.type === "suite") this.choose(task);
      else if (this.ids && !this.ids.has(idOf(task))) task.mode = "skip";
    if (suite.tasks.length > 0 && suite.tasks.every(({ mode }) => mode === "skip" || mode === "todo"))
      suite.mode = "skip";
  }
}

function resultsOf(file) {
  const tests = getTests(file).filter(({ result }) => result?.state === "pass" || result?.state === "fail");
  const results = tests.map((test) => ({
    id: idOf(test),
    problem: test.result.state === "fail" ? String(test.result.errors?.[0]?.message) : null,
    milliseconds: test.result.duration ?? 0,
  }));
  const broken = suitesOf(file).find(({ result }) => result?.errors?.length);
  if (broken)
    results.push({
      id: results[0]?.id ?? wholeFile(file.filepath),
      problem: String(broken.result.errors[0].message),
      milliseconds: 0,
    });
  return results;
}

function suitesOf(suite) {
  return [suite, ...suite.tasks.filter(({ type }) => type === "suite").flatMap(suitesOf)];
}

/** What a file does outside its tests (set-up, hooks) counts for each of them. */
function coverageOf(tests) {
  const { static: atLoading = {}, perTest = {} } = switches.mutantCoverage ?? {};
  for (const { id } of tests) {
    const file = perTest[wholeFile(id.slice(0, id.indexOf("#")))] ?? {};
    perTest[id] ??= {};
    const own = perTest[id];
    for (const [mutant, count] of Object.entries(file)) own[mutant] = (own[mutant] ?? 0) + count;
  }
  for (const id of Object.keys(perTest)) if (id.endsWith("#")) delete perTest[id];
  return { static: atLoading, perTest };
}

function idOf(test) {
  return `${test.file.filepath}#${getFullName(test)}`;
}

function wholeFile(path) {
  return `${path}#`;
}
