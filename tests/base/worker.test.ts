/** Workers free what a task has left before the next one comes; with real workers, which need the compiled program. */
import { fileURLToPath } from "node:url";
import { Piscina } from "piscina";
import { expect, it, onTestFinished } from "vitest";
import { tidyAfter } from "../../src/base/worker.js";

it("what a task leaves has gone by the next", async () => {
  const pool = new Piscina<null, boolean>({
    filename: fileURLToPath(new URL("./leaves-much.mjs", import.meta.url)),
    maxThreads: 1,
  });
  onTestFinished(() => pool.destroy());
  const stillThere: boolean[] = [];
  for (let task = 0; task < 5; task++) stillThere.push(await pool.run(null));
  expect(stillThere).toEqual([false, false, false, false, false]);
});

it("the work's own failure comes through", async () => {
  const fails = tidyAfter((): never => {
    throw new Error("no such file");
  });
  await expect(fails(undefined)).rejects.toThrow("no such file");
});
