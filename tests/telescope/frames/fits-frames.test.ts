/** Frames that a camera has taken: read from FITS, judged, and kept with a preview of their own. */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test } from "vitest";
import type { Request } from "../../../src/queue/request.js";
import { loadStars } from "../../../src/sky/load-stars.js";
import type { FitsSource } from "../../../src/telescope/frames/byte-reader.js";
import { encodeFits } from "../../../src/telescope/frames/fits.js";
import { type FrameStore, openFrameStore } from "../../../src/telescope/frames/frame-store.js";
import { simulate } from "../../../src/telescope/practice/frame.js";
import { allReady, config, exposureOf, JUNE_NIGHT, m13, smallCamera } from "../practice/practice-example.js";

const small = { ...config, observatory: smallCamera(256) };
const request = { number: 12, target: m13, filter: "V", exposureSeconds: 60 } as Request;
const order = { request, index: 1, startUnixMs: JUNE_NIGHT, equipment: allReady };
const bytes = (): Uint8Array => {
  const exposure = exposureOf({ target: m13, observatory: small.observatory });
  return encodeFits(simulate(exposure, loadStars()).image, [{ keyword: "OBJECT", value: "M13" }]);
};

let folder = "";
let store: FrameStore<FitsSource>;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "fits-frames-"));
  const url = new URL("../../../src/telescope/frames/fits-worker.ts", import.meta.url);
  const here = () => import("../../../src/telescope/frames/fits-worker.js");
  store = openFrameStore({ config: small, dataFolder: folder, worker: { url, here }, simulated: false });
});
afterEach(async () => {
  await store.close();
  rmSync(folder, { recursive: true, force: true });
});

test("a file is kept byte for byte, judged by its pixels, and not called simulated", async () => {
  const path = join(folder, "from-the-camera.fits");
  writeFileSync(path, bytes());
  const record = await store.keep(order, { path });
  expect(record).toMatchObject({ index: 1, simulated: false, verdict: { is: "usable" } });
  expect(readFileSync(join(folder, record.imageFile as string)).equals(readFileSync(path))).toBe(true);
  expect(
    readFileSync(join(folder, record.previewFile as string))
      .subarray(1, 4)
      .toString(),
  ).toBe("PNG");
});

test("bytes that came over a line are kept alike", async () => {
  const sent = bytes();
  const record = await store.keep(order, { bytes: sent });
  expect(readFileSync(join(folder, record.imageFile as string)).equals(sent)).toBe(true);
});

test("what is no FITS file is refused with a sentence, and leaves nothing behind", async () => {
  const nonsense = { bytes: new TextEncoder().encode("not a frame") };
  await expect(store.keep(order, nonsense)).rejects.toThrow(/FITS/);
  expect(readdirSync(folder)).toEqual([]);
});
