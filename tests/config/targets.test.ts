/** The targets that a configuration adds. */
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, test } from "vitest";
import { loadConfig } from "../../src/config/load.js";
import { furtherTargets } from "../../src/config/targets-section.js";
import { loadCatalogue } from "../../src/sky/load-catalogue.js";

const EXAMPLE = readFileSync("config/tern-hollow.yaml", "utf8");

/** The example with other targets, in a folder of its own. */
function configWith(section: string, orbits = ""): string {
  const folder = mkdtempSync(join(tmpdir(), "targets-"));
  writeFileSync(join(folder, "orbits.txt"), orbits);
  const path = join(folder, "site.yaml");
  writeFileSync(path, EXAMPLE.replace(/\ntargets:[\s\S]*?\n(?=tiers:)/, `\n${section}\n`));
  return path;
}

test("a name of the class's own comes before the catalogue's", () => {
  const { targets } = loadConfig(
    configWith('targets: { own: [{ name: "M13", coordinates: "10:00:00 +20:00:00", magnitude: 9.1 }] }'),
  );
  const { found } = loadCatalogue(furtherTargets(targets)).lookUp("m 13");
  expect(found).toMatchObject({ raDegrees: 150, decDegrees: 20, magnitude: 9.1, type: "position" });
});

test.each([
  ['{ name: "Field", coordinates: "somewhere" }', /coordinates.*such as 05 35 17/],
  ['{ name: "…", coordinates: "10:00:00 +20:00:00" }', /name.*letters or digits/],
])("%s is refused in one sentence", (own, sentence) => {
  expect(() => loadConfig(configWith(`targets: { own: [${own}] }`))).toThrow(sentence);
});

test("a file of orbits that is missing or holds something else is named with its line", () => {
  expect(() => loadConfig(configWith("targets: { orbits: nowhere.txt }"))).toThrow(
    /nowhere\.txt: this file of orbits cannot be read; mend targets\.orbits, or leave it out\./,
  );
  expect(() => loadConfig(configWith("targets: { orbits: orbits.txt }", "# fine\nhello\n"))).toThrow(
    /orbits\.txt, line 2: .*packed date.*; copy whole lines as the Minor Planet Center publishes them\./,
  );
});
