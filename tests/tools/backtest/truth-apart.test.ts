/** The truth that judges the forecast has no code in common with it. */
import { execFileSync } from "node:child_process";
import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";

const root = new URL("../../..", import.meta.url).pathname;
const truth = join(root, "src/tools/backtest/truth");

/** What the import rules say of a copy of the truth beside a small forecast, with `planted` among its files. */
function violations(planted: string): string {
  const folder = mkdtempSync(join(tmpdir(), "apart-"));
  cpSync(join(root, "tsconfig.json"), join(folder, "tsconfig.json"));
  cpSync(join(root, ".dependency-cruiser.cjs"), join(folder, ".dependency-cruiser.cjs"));
  symlinkSync(join(root, "node_modules"), join(folder, "node_modules"));
  mkdirSync(join(folder, "src/tools/backtest/truth"), { recursive: true });
  mkdirSync(join(folder, "src/forecast"));
  writeFileSync(join(folder, "package.json"), '{ "type": "module" }');
  writeFileSync(join(folder, "src/forecast/noise.ts"), "export const noise = 1;\n");
  writeFileSync(join(folder, "src/tools/backtest/truth/planted.ts"), planted);
  try {
    const cruise = join(root, "node_modules/dependency-cruiser/bin/dependency-cruise.mjs");
    execFileSync(process.execPath, [cruise, "--config", ".dependency-cruiser.cjs", "src"], { cwd: folder });
    return "";
  } catch (error) {
    return String((error as { stdout: Buffer }).stdout);
  }
}

describe("the truth model", () => {
  it("imports nothing of the forecast, nor of the rest of the backtest", () => {
    const imported = readdirSync(truth)
      .filter((name) => name.endsWith(".ts"))
      .flatMap((name) => [...readFileSync(join(truth, name), "utf8").matchAll(/from "(\..+)"/g)])
      .map((match) => match[1] as string);
    expect(imported.length).toBeGreaterThan(20);
    for (const path of imported)
      expect(path).toMatch(/^(\.\/|\.\.\/\.\.\/\.\.\/(base|sky|observatory|queue)\/)/);
  });

  it("could not: the import rules catch it, even for a type", () => {
    const values = violations(
      'import { noise } from "../../../forecast/noise.js";\nexport const own = noise;\n',
    );
    const types = violations(
      'import type { noise } from "../../../forecast/noise.js";\nexport type Own = typeof noise;\n',
    );
    expect(values).toContain("truth-apart");
    expect(types).toContain("truth-apart");
    expect(violations("export const own = 2;\n")).toBe("");
  });
});
