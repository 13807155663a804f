/** A truth file may hold any of the keys; a bad one is answered by one sentence. */
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { Refusal } from "../../../src/base/refusal.js";
import { loadTruth } from "../../../src/tools/backtest/truth/load.js";

const folder = mkdtempSync(join(tmpdir(), "truth-"));

function fileWith(text: string): string {
  const path = join(folder, "mine.yaml");
  writeFileSync(path, text);
  return path;
}

function refusalOf(text: string): Refusal {
  try {
    loadTruth(fileWith(text));
  } catch (error) {
    if (error instanceof Refusal) return error;
    throw error;
  }
  throw new Error("was accepted");
}

describe("a truth file", () => {
  it("changes what it names and leaves the rest as shipped", () => {
    const standard = loadTruth(null);
    const mine = loadTruth(fileWith("machines: { dome: { factor: 4 } }\narrivals: { burstShare: 1 }\n"));
    expect(mine.machines.dome).toEqual({ ...standard.machines.dome, factor: 4 });
    expect(mine.machines.slew).toEqual(standard.machines.slew);
    expect(mine.arrivals.burstShare).toBe(1);
    expect(mine.cloud).toEqual(standard.cloud);
  });

  it("replaces a list as a whole", () => {
    expect(loadTruth(fileWith("wishes: { frames: [2] }")).wishes.frames).toEqual([2]);
  });

  it.each(["calm", "slow", "bursts", "stormy", "failing"])("is shipped for %s conditions", (name) => {
    const shipped = new URL(`../../../src/tools/backtest/truth/${name}.yaml`, import.meta.url).pathname;
    expect(loadTruth(shipped)).not.toEqual(loadTruth(null));
  });

  it("may be empty", () => {
    expect(loadTruth(fileWith("# nothing\n"))).toEqual(loadTruth(null));
  });

  it.each([
    ["arrivals: { burstShare: 1.5 }", "arrivals.burstShare is 1.5; allowed: at most 1."],
    ["failures: { share: often }", 'failures.share is "often"; allowed: a number.'],
    ["daysBetweenNights: 0.5", "daysBetweenNights is 0.5; allowed: a whole number."],
    ["cloud: { kinds: [] }", "cloud.kinds is []; allowed: at least 1 entries."],
    ["machines: 3", "machines is 3; allowed: a group of keys."],
    ["clouds: 1", "there is no key clouds; possible here: sites, daysBetweenNights, arrivals,"],
    [
      "machines: { dome: { faktor: 2 } }",
      "there is no key machines.dome.faktor; possible here: factor, nightSpread,",
    ],
    ["sites: [{ name: x }]", "sites.1.latitudeDegrees is missing; allowed: a number."],
    ["- 1", "the file is [1]; allowed: a group of keys."],
  ])("is refused with key, value and what is allowed: %s", (text, sentence) => {
    const refusal = refusalOf(text);
    expect(refusal.code).toBe("truth-invalid");
    expect(refusal.message).toContain(`mine.yaml: ${sentence}`);
    expect(refusal.message.split("\n")).toHaveLength(1);
  });

  it("is refused when it is no YAML, or not there", () => {
    expect(refusalOf("a: [1").message).toContain("is not valid YAML");
    expect(() => loadTruth(join(folder, "missing.yaml"))).toThrow("cannot be read: name a file");
  });

  it("as shipped, explains every key", () => {
    const text = readFileSync(
      new URL("../../../src/tools/backtest/truth/default.yaml", import.meta.url),
      "utf8",
    );
    for (const section of Object.keys(loadTruth(null))) expect(text).toMatch(new RegExp(`^${section}:`, "m"));
  });
});
