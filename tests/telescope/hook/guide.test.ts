/** The guide to telescopes says what is so: its schema is the program's, and its example can be run as it stands. */
import { execFile, execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { promisify } from "node:util";
import { expect, test } from "vitest";
import { systemClock } from "../../../src/base/clock.js";
import { silentLog } from "../../../src/base/log.js";
import { parseConfig } from "../../../src/config/load.js";
import { HookLink } from "../../../src/telescope/hook/link.js";
import { buildListener } from "../../../src/telescope/hook/listener.js";
import { hookJsonSchema } from "../../../src/telescope/hook/messages.js";
import { Evening, plainFrame } from "../evening.js";
import { SECRET } from "./signed.js";

const guide = readFileSync("config/guides/telescopes.md", "utf8");
const example = readFileSync("config/tern-hollow.yaml", "utf8");

/** Renewed with `npx vitest run --config tests/vitest.config.ts tests/telescope/hook/guide.test.ts --update`. */
test("the JSON Schema in the guides is the one that events are checked by", async () => {
  const text = `${JSON.stringify(hookJsonSchema(), null, 2)}\n`;
  await expect(text).toMatchFileSnapshot("../../../config/guides/telescope-hook.schema.json");
});

test("every configuration in the guide can be used", () => {
  const blocks = [...guide.matchAll(/```yaml\n([\s\S]*?)```/g)].map((match) => match[1] as string);
  expect(blocks.length).toBeGreaterThan(2);
  const rest = example.replace(/^telescope:\n(?: .*\n|\n)*/m, "");
  for (const block of blocks) expect(() => parseConfig(rest + block, "the guide")).not.toThrow();
});

const missing = ["curl", "openssl", "bash"].filter((program) => {
  try {
    execFileSync(program, [program === "openssl" ? "version" : "--version"], { stdio: "ignore" });
    return false;
  } catch {
    return true;
  }
});
if (missing.length > 0) console.log(`The guide's example was not run: ${missing.join(", ")} not found.`);

test.skipIf(missing.length > 0)(
  "the example with curl asks, takes, hands a frame over and is done",
  async () => {
    const clock = systemClock();
    const frames: string[] = [];
    let url = "";
    const evening = await Evening.begin(
      (makeFrame) =>
        new HookLink({
          pictures: {
            folder: null,
            store: {
              keep: async (order, source) => {
                frames.push("bytes" in source ? Buffer.from(source.bytes).toString() : source.path);
                return makeFrame(order);
              },
            },
          },
          listen: async (conversation) => {
            const parts = { secret: SECRET, clock, log: silentLog, conversation, largestFrame: 10_000 };
            const web = buildListener(parts);
            url = await web.listen({ host: "127.0.0.1", port: 0 });
            return () => web.close();
          },
        }),
      plainFrame,
    );
    const script = /<!-- curl:begin -->\n```sh\n([\s\S]*?)```/.exec(guide)?.[1] ?? "";
    const cwd = mkdtempSync(join(tmpdir(), "guide-"));
    writeFileSync(join(cwd, "frame.fits"), "SIMPLE  =                    T");
    const env = { ...process.env, NIGHTSLATE_HOOK_URL: url, NIGHTSLATE_HOOK_SECRET: SECRET };
    const { stdout } = await promisify(execFile)(
      "bash",
      ["-euc", script.replace(/^(ask|event|frame) .*/gm, "$&; echo")],
      { cwd, env },
    );
    const answers = stdout
      .trim()
      .split("\n")
      .map((line) => JSON.parse(line));
    expect(answers.map((each) => each.do ?? `${each.outcome}: ${each.said}`)).toEqual([
      ...[
        "observe",
        "accepted: #1 is taken: go on.",
        "accepted: Frame 1 is kept.",
        "accepted: #1 is completed.",
      ],
    ]);
    expect(frames).toEqual(["SIMPLE  =                    T"]);
    await evening.driver.stop();
  },
);
