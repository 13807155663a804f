/** Frames that a camera has taken: read from FITS, judged, and kept with a preview of their own. */
import { mkdtempSync, readdirSync, readFileSync, rmSync, truncateSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import { afterEach, beforeEach, expect, test } from "vitest";
import type { Request } from "../../../src/queue/request.js";
import { loadStars } from "../../../src/sky/load-stars.js";
import type { FitsSource } from "../../../src/telescope/frames/byte-reader.js";
import { encodeFits, readFits } from "../../../src/telescope/frames/fits.js";
import { cardValue } from "../../../src/telescope/frames/fits-cards.js";
import { type FrameStore, openFrameStore } from "../../../src/telescope/frames/frame-store.js";
import { simulate } from "../../../src/telescope/practice/frame.js";
import { allReady, config, exposureOf, JUNE_NIGHT, m13, smallCamera } from "../practice/practice-example.js";

const small = { ...config, observatory: smallCamera(256) };
const request = {
  number: 12,
  classId: "evening-2",
  frames: 2,
  target: m13,
  filter: "V",
  exposureSeconds: 60,
} as Request;
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

test("a file is kept with all it had and the queue's cards, judged by its pixels, and not called simulated", async () => {
  const path = join(folder, "from-the-camera.fits");
  writeFileSync(path, bytes());
  const record = await store.keep(order, { path });
  expect(record).toMatchObject({ index: 1, simulated: false, verdict: { is: "usable" } });
  const [sent, kept] = [
    await readFits({ path }),
    await readFits({ path: join(folder, record.imageFile as string) }),
  ];
  expect(kept.pixels).toEqual(sent.pixels);
  expect(kept.cards.slice(0, sent.cards.length)).toEqual(sent.cards);
  expect(kept.cards.slice(sent.cards.length).map(({ keyword, value }) => [keyword, value])).toEqual([
    ["REQUEST", 12],
    ["FRAMENO", 1],
    ["CLASS", "Evening Survey, section 2"],
    ["TARGET", "Hercules Cluster (M13)"],
  ]);
  expect(
    readFileSync(join(folder, record.previewFile as string))
      .subarray(1, 4)
      .toString(),
  ).toBe("PNG");
});

test("bytes that came over a line are kept alike", async () => {
  const sent = bytes();
  const record = await store.keep(order, { bytes: sent });
  const kept = await readFits({ path: join(folder, record.imageFile as string) });
  expect(kept.pixels).toEqual((await readFits({ bytes: sent })).pixels);
});

test("packed with gzip it is kept unpacked, and sent a second time it has the queue's cards once", async () => {
  const once = await store.keep(order, { bytes: gzipSync(bytes()) });
  const first = readFileSync(join(folder, once.imageFile as string));
  await store.keep(order, { bytes: first });
  expect(readFileSync(join(folder, once.imageFile as string)).equals(first)).toBe(true);
});

test("names number, class and target; the student only where the class wants it", async () => {
  expect((await store.keep(order, { bytes: bytes() })).imageFile).toMatch(/evening-2-12-1-M13\.fits$/);
  const named = await store.keep({ ...order, askedBy: "Zoë Brandt" }, { bytes: bytes() });
  expect(named.imageFile).toMatch(/evening-2-12-1-M13-Zoe_Brandt\.fits$/);
  const { cards } = await readFits({ path: join(folder, named.imageFile as string) });
  expect(cardValue(cards, "ASKEDBY")).toBe("Zoe Brandt");
});

test("what is no FITS file is refused with a sentence, and leaves nothing behind", async () => {
  const nonsense = { bytes: new TextEncoder().encode("not a frame") };
  await expect(store.keep(order, nonsense)).rejects.toThrow(/FITS/);
  expect(readdirSync(folder)).toEqual([]);
});

test("a small image with two gigabytes behind it is refused in a sentence, and nothing of it is kept", async () => {
  const path = join(folder, "large.fits");
  writeFileSync(path, bytes());
  truncateSync(path, 2_000_000_000);
  await expect(store.keep(order, { path })).rejects.toThrow(/more than 600 MB.*save the image alone/);
  rmSync(path);
  expect(readdirSync(folder)).toEqual([]);
});
