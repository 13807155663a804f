/** The example configuration, for measurements. */
import { fileURLToPath } from "node:url";
import type { Config } from "../../config/config.js";
import { loadConfig } from "../../config/load.js";

export const EXAMPLE_FILE = fileURLToPath(new URL("../../../config/tern-hollow.yaml", import.meta.url));

export function exampleConfig(): Config {
  return loadConfig(EXAMPLE_FILE);
}
