import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { Refusal } from "../../../src/base/refusal.js";
import { decodeFits, encodeFits } from "../../../src/telescope/frames/fits.js";
import { asciiText, type Card } from "../../../src/telescope/frames/fits-cards.js";
import { toPixel } from "../../../src/telescope/practice/field.js";
import { simulate } from "../../../src/telescope/practice/frame.js";
import { exposureOf, onlyStars } from "../practice/practice-example.js";

interface Reference {
  readonly source: string;
  readonly width: number;
  readonly height: number;
  readonly files: Record<string, { file: string; values: number[] }>;
  readonly places: { centre: [number, number]; ra: number; dec: number; pixel: [number, number] }[];
}

// Written by astropy 5.2.1: tests/reference/make_fits_reference.py.
const reference = JSON.parse(
  readFileSync(new URL("../../reference/fits.json", import.meta.url), "utf8"),
) as Reference;

const PYTHON = "/usr/bin/python3";
const hasAstropy = spawnSync(PYTHON, ["-c", "import astropy"]).status === 0;

describe("a FITS file that astropy wrote", () => {
  it.each(Object.keys(reference.files))("is read to the last pixel: %s", (name) => {
    const { file, values } = reference.files[name]!;
    const image = decodeFits(Buffer.from(file, "base64"));
    expect([image.width, image.height]).toEqual([reference.width, reference.height]);
    expect([...image.pixels]).toEqual(values);
  });

  it("gives its header's text, numbers and logicals", () => {
    const { cards } = decodeFits(Buffer.from(reference.files.uint16!.file, "base64"));
    const value = (keyword: string): unknown => cards.find((card) => card.keyword === keyword)?.value;
    expect(value("OBJECT")).toBe("it's M13");
    expect(value("EXPTIME")).toBe(60.5);
    expect(value("SIMULATE")).toBe(true);
  });
});

describe("a FITS file of ours", () => {
  it("comes back as it went, pixels and header", () => {
    const cardValue = fc.oneof(
      fc.boolean(),
      fc.integer(),
      fc.integer({ min: -1_000_000, max: 1_000_000 }).map((thousandths) => thousandths / 1000),
      fc.string({ unit: fc.constantFrom(..."aZ09 '/=-+.,"), maxLength: 30 }).map((text) => text.trimEnd()),
    );
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 60 }),
        fc.integer({ min: 1, max: 60 }),
        fc.array(cardValue, { maxLength: 50 }),
        fc.integer({ min: 0, max: 65_535 }),
        (width, height, values, seed) => {
          const pixels = Uint16Array.from({ length: width * height }, (_, i) => (seed + i * 40_503) % 65_536);
          const cards: Card[] = values.map((value, i) => ({ keyword: `KEY${i}`, value, comment: "a note" }));
          const file = encodeFits({ width, height, pixels }, cards);
          expect(file.length % 2880).toBe(0);
          const back = decodeFits(file);
          expect([...back.pixels]).toEqual([...pixels]);
          // The mandatory seven come first.
          expect(back.cards.slice(7)).toEqual(cards.map(({ keyword, value }) => ({ keyword, value })));
        },
      ),
      { numRuns: 60 },
    );
  });

  it("keeps its header to printable ASCII, whatever the names", () => {
    expect(asciiText("Hα of Bételgeuse, 12°")).toBe("Halpha of Betelgeuse, 12 deg");
    const file = encodeFits({ width: 1, height: 1, pixels: new Uint16Array([0]) }, [
      { keyword: "OBJECT", value: `ж'${"x".repeat(200)}\n` },
    ]);
    expect(file.subarray(0, 2880).toString("latin1")).toMatch(/^[\x20-\x7e]+$/);
    expect(decodeFits(file).cards.at(-1)?.value).toMatch(/^\?'x+$/);
  });

  it.runIf(hasAstropy)("is read by astropy, with its world coordinates and without a complaint", () => {
    const frame = simulate(exposureOf(), onlyStars([]));
    const folder = mkdtempSync(join(tmpdir(), "fits-"));
    const path = join(folder, "frame.fits");
    writeFileSync(path, encodeFits(frame.image, frame.cards));
    const script = `
import json, sys, warnings
warnings.simplefilter("error")
from astropy.io import fits
from astropy.wcs import WCS
with fits.open(sys.argv[1]) as hdus:
    hdus.verify("exception")
    data, header = hdus[0].data, hdus[0].header
    sky = WCS(header).all_pix2world([[1, 1], [256.5, 256.5]], 1)
    print(json.dumps({"type": str(data.dtype), "sum": int(data.sum(dtype="int64")), "simulated": header["SIMULATE"],
        "filter": header["FILTER"], "sky": sky.tolist()}))
`;
    const run = spawnSync(PYTHON, ["-c", script, path], { encoding: "utf8" });
    rmSync(folder, { recursive: true });
    expect(run.stderr).toBe("");
    const seen = JSON.parse(run.stdout) as Record<string, unknown> & { sky: [number, number][] };
    const sum = frame.image.pixels.reduce((total, value) => total + value, 0);
    expect(seen).toMatchObject({ type: "uint16", sum, simulated: true, filter: "V" });
    expect(seen.sky[1]).toEqual([expect.closeTo(250, 9), expect.closeTo(38, 9)]);
    const corner = toPixel(frame.field, ...seen.sky[0]!)!;
    expect(corner.x).toBeCloseTo(0, 5);
    expect(corner.y).toBeCloseTo(0, 5);
  });

  if (!hasAstropy) console.log("skipped: reading our FITS with astropy, which is not installed here");
});

describe("a place on the camera", () => {
  it.each(reference.places)(
    "is where astropy's gnomonic projection puts it: $centre, pixel $pixel",
    (place) => {
      const { camera } = exposureOf().observatory;
      const field = {
        width: 2048,
        height: 2048,
        arcsecondsPerPixel:
          (camera.pixelMicrometres / camera.focalLengthMillimetres / 1000) * (180 / Math.PI) * 3600,
        raDegrees: place.centre[0],
        decDegrees: place.centre[1],
      };
      const pixel = toPixel(field, place.ra, place.dec)!;
      // FITS counts from 1.
      expect(pixel.x + 1).toBeCloseTo(place.pixel[0], 4);
      expect(pixel.y + 1).toBeCloseTo(place.pixel[1], 4);
    },
  );

  it("is nowhere when it lies behind the camera", () => {
    const field = { width: 10, height: 10, arcsecondsPerPixel: 1, raDegrees: 10, decDegrees: 20 };
    expect(toPixel(field, 190, -20)).toBeNull();
  });
});

describe("a damaged FITS file is refused with a sentence", () => {
  const whole = encodeFits({ width: 40, height: 40, pixels: new Uint16Array(1600) }, []);
  const withHeader = (from: string, to: string): Buffer => {
    const copy = Buffer.from(whole);
    copy.write(to, copy.indexOf(from), "latin1");
    return copy;
  };

  it.each([
    ["not FITS at all", Buffer.from("GIF89a"), /begin with SIMPLE|end of header/],
    ["a page of text", Buffer.alloc(2880, "x"), /begin with SIMPLE/],
    ["no end of header", whole.subarray(0, 240), /end of header/],
    ["pixels cut off", whole.subarray(0, 2880 + 1000), /cut short/],
    ["a size out of this world", withHeader("                  40", "          4000000000"), /no two-dim/],
    ["three axes", withHeader("                   2", "                   3"), /no two-dim/],
    ["an unknown number format", withHeader("                  16", "                  17"), /no two-dim/],
  ])("%s", (_name, bytes, sentence) => {
    expect(() => decodeFits(bytes)).toThrow(Refusal);
    expect(() => decodeFits(bytes)).toThrow(sentence);
  });
});
