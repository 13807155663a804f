import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import type { Request } from "../../../src/queue/request.js";
import { readFits } from "../../../src/telescope/frames/fits.js";
import type { FrameOrder } from "../../../src/telescope/frames/frame-order.js";
import { cloudMagnitudesAt, THICK_CLOUD } from "../../../src/telescope/practice/cloud.js";
import { openFrames } from "../../../src/telescope/practice/frames.js";
import { allReady, config, JUNE_NIGHT, m13, smallCamera } from "./practice-example.js";

const small = { ...config, observatory: smallCamera(256) };
const request = {
  number: 12,
  classId: "evening-2",
  target: m13,
  filter: "Hα",
  exposureSeconds: 30,
} as Request;

function order(change: Partial<FrameOrder> = {}): FrameOrder {
  return { request, index: 2, startUnixMs: JUNE_NIGHT, equipment: allReady, ...change };
}

let folder = "";
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "frames-"));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe("a frame of the practice telescope", () => {
  it("is written as FITS and preview in the night's folder, and recorded with its verdict", async () => {
    const frames = openFrames(small, folder);
    const record = await frames.makeFrame(order());
    await frames.close();
    expect(record).toMatchObject({
      index: 2,
      startUnixMs: JUNE_NIGHT,
      exposureSeconds: 30,
      filter: "Hα",
      imageFile: "frames/2026-06-14/evening-2-12-2-M13.fits",
      previewFile: "frames/2026-06-14/evening-2-12-2-M13.png",
      simulated: true,
      verdict: { is: "usable" },
    });
    const image = await readFits({ path: join(folder, record.imageFile!) });
    expect([image.width, image.height]).toEqual([256, 256]);
    expect(readFileSync(join(folder, record.previewFile!)).subarray(1, 4).toString()).toBe("PNG");
    expect(readdirSync(join(folder, "frames/2026-06-14")).sort()).toEqual([
      "evening-2-12-2-M13.fits",
      "evening-2-12-2-M13.png",
    ]);
  });

  it("says in its header that it is simulated, from where its stars are, and that fainter ones are invented", async () => {
    const record = await openFrames(small, folder).makeFrame(order());
    const { cards } = await readFits({ path: join(folder, record.imageFile!) });
    const value = (keyword: string): unknown => cards.find((card) => card.keyword === keyword)?.value;
    const comments = cards.filter((card) => card.keyword === "COMMENT").map((card) => card.value);
    expect(value("SIMULATE")).toBe(true);
    expect(value("SYNTHET")).toBe(false);
    expect(value("FILTER")).toBe("Halpha");
    expect(value("DATE-OBS")).toBe("2026-06-15T05:00:00.000");
    expect(comments.join("\n")).toMatch(/SIMULATED.*[\s\S]*Hipparcos[\s\S]*INVENTED/);
  });

  it("is the same to the byte when it is made again", async () => {
    const frames = openFrames(small, folder);
    const first = readFileSync(join(folder, (await frames.makeFrame(order())).imageFile!));
    const again = readFileSync(join(folder, (await frames.makeFrame(order())).imageFile!));
    expect(again.equals(first)).toBe(true);
    const next = readFileSync(join(folder, (await frames.makeFrame(order({ index: 3 }))).imageFile!));
    expect(next.equals(first)).toBe(false);
  });

  it("is synthetic, and says so in its header, when the practice camera is away", async () => {
    const equipment = { ...allReady, camera: "away" } as const;
    const record = await openFrames(small, folder).makeFrame(order({ equipment }));
    expect(record.verdict).toMatchObject({ is: "synthetic", because: "no-camera" });
    const { cards } = await readFits({ path: join(folder, record.imageFile!) });
    expect(cards).toContainEqual({ keyword: "SYNTHET", value: true });
    expect(cards.map((card) => card.value).join("\n")).toContain("SYNTHETIC: no camera was fitted");
  });

  it("keeps odd target names inside its folder", async () => {
    const target = { ...m13, id: "../../evil name" };
    const record = await openFrames(small, folder).makeFrame(order({ request: { ...request, target } }));
    expect(record.imageFile).toBe("frames/2026-06-14/evening-2-12-2-______evil_name.fits");
    expect(existsSync(join(folder, record.imageFile!))).toBe(true);
  });

  it("is refused with an error when its folder cannot be made", async () => {
    writeFileSync(join(folder, "frames"), "in the way");
    await expect(openFrames(small, folder).makeFrame(order())).rejects.toThrow();
  });
});

describe("frames made in the compiled program's worker", () => {
  const compiled = new URL("../../../dist/telescope/practice/frames.js", import.meta.url);

  it("are those made from the sources, and leave the main thread free", async () => {
    const { openFrames: openCompiled } = (await import(compiled.href)) as { openFrames: typeof openFrames };
    const inline = readFileSync(
      join(folder, (await openFrames(small, folder).makeFrame(order())).imageFile!),
    );
    const frames = openCompiled(small, folder);
    let turns = 0;
    const spin = setInterval(() => turns++, 1);
    const record = await frames.makeFrame(order());
    clearInterval(spin);
    await frames.close();
    expect(readFileSync(join(folder, record.imageFile!)).equals(inline)).toBe(true);
    expect(turns).toBeGreaterThan(10);
  });
});

describe("passing cloud", () => {
  it("hides its share of a long night, in spells, the same each time", () => {
    const minutes = Array.from({ length: 60_000 }, (_, i) => JUNE_NIGHT + i * 60_000);
    const cloudy = minutes.filter((at) => cloudMagnitudesAt(at, "clear", 0.3, 5) > 0);
    expect(cloudy.length / minutes.length).toBeCloseTo(0.3, 1);
    expect(minutes.filter((at) => cloudMagnitudesAt(at, "clear", 0.3, 5) > 0)).toEqual(cloudy);
    expect(minutes.some((at) => cloudMagnitudesAt(at, "clear", 0, 5) > 0)).toBe(false);
  });

  it("is thick whenever cloud is reported", () => {
    expect(cloudMagnitudesAt(JUNE_NIGHT, "cloud", 0, 1)).toBe(THICK_CLOUD);
  });
});
