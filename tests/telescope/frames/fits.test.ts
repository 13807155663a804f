import { spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, truncateSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import fc from "fast-check";
import { describe, expect, it, test } from "vitest";
import { Refusal } from "../../../src/base/refusal.js";
import { encodeFits, type FitsImage, readFits } from "../../../src/telescope/frames/fits.js";
import { asciiText, type Card, cardValue } from "../../../src/telescope/frames/fits-cards.js";
import { toPixel } from "../../../src/telescope/practice/field.js";
import { simulate } from "../../../src/telescope/practice/frame.js";
import { exposureOf, onlyStars } from "../practice/practice-example.js";

interface Reference {
  readonly source: string;
  readonly width: number;
  readonly height: number;
  readonly files: Record<string, { file: string; values: number[] }>;
  readonly odd: Record<string, { file: string; values: number[] }>;
  readonly refused: Record<string, string>;
  readonly places: { centre: [number, number]; ra: number; dec: number; pixel: [number, number] }[];
}

// Written by astropy 5.2.1: tests/reference/make_fits_reference.py.
const reference = JSON.parse(
  readFileSync(new URL("../../reference/fits.json", import.meta.url), "utf8"),
) as Reference;

const read = (bytes: Uint8Array): Promise<FitsImage> => readFits({ bytes });

const PYTHON = "/usr/bin/python3";
const hasAstropy = spawnSync(PYTHON, ["-c", "import astropy"]).status === 0;

describe("a FITS file that astropy wrote", () => {
  it.each(Object.keys(reference.files))("is read to the last pixel: %s", async (name) => {
    const { file, values } = reference.files[name]!;
    const image = await read(Buffer.from(file, "base64"));
    expect([image.width, image.height]).toEqual([reference.width, reference.height]);
    expect([...image.pixels]).toEqual(values);
  });

  it.each([
    ["without what is on the way to the image: a table, an empty primary header", "extension"],
    ["with blank pixels made the middle of the others, stored integers", "blank"],
    ["with blank pixels made the middle of the others, floating point", "notANumber"],
    ["scaled by BSCALE and BZERO", "scaled"],
    ["with text that goes on in CONTINUE cards", "longText"],
  ])("is read %s", async (_what, name) => {
    const { file, values } = reference.odd[name]!;
    const image = await read(Buffer.from(file, "base64"));
    expect([image.width, image.height]).toEqual([reference.width, reference.height]);
    for (const [index, value] of values.entries()) expect(image.pixels[index]).toBeCloseTo(value, 4);
  });

  it("gives text that goes on in CONTINUE cards, and what only the primary header says", async () => {
    const long = await read(Buffer.from(reference.odd.longText!.file, "base64"));
    expect(cardValue(long.cards, "OBJECT")).toBe(`#12 ${"a long name ".repeat(12).trim()}`);
    const extension = await read(Buffer.from(reference.odd.extension!.file, "base64"));
    expect(cardValue(extension.cards, "FILTER")).toBe("V");
  });

  it("is unpacked from gzip, and refused when the gzip is cut short", async () => {
    const packed = gzipSync(Buffer.from(reference.files.uint16!.file, "base64"));
    expect([...(await read(packed)).pixels]).toEqual(reference.files.uint16!.values);
    await expect(read(packed.subarray(0, packed.length - 60))).rejects.toThrow(
      /packed with gzip, and damaged or cut short/,
    );
  });

  it.each([
    ["tileCompressed", /tile-compressed \(RICE_1\).*gzip is fine/],
    ["cube", /a stack of 7 × 5 × 3/],
    ["tableOnly", /no two-dimensional image/],
    ["allBlank", /every pixel is blank/],
  ] as const)("is refused by name: %s", async (name, sentence) => {
    await expect(read(Buffer.from(reference.refused[name]!, "base64"))).rejects.toThrow(sentence);
  });

  it("gives its header's text, numbers and logicals", async () => {
    const { cards } = await read(Buffer.from(reference.files.uint16!.file, "base64"));
    const value = (keyword: string): unknown => cards.find((card) => card.keyword === keyword)?.value;
    expect(value("OBJECT")).toBe("it's M13");
    expect(value("EXPTIME")).toBe(60.5);
    expect(value("SIMULATE")).toBe(true);
  });
});

describe("a FITS file of ours", () => {
  it("comes back as it went, pixels and header", async () => {
    const cardValue = fc.oneof(
      fc.boolean(),
      fc.integer(),
      fc.integer({ min: -1_000_000, max: 1_000_000 }).map((thousandths) => thousandths / 1000),
      fc.string({ unit: fc.constantFrom(..."aZ09 '/=-+.,"), maxLength: 30 }).map((text) => text.trimEnd()),
    );
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 1, max: 60 }),
        fc.integer({ min: 1, max: 60 }),
        fc.array(cardValue, { maxLength: 50 }),
        fc.integer({ min: 0, max: 65_535 }),
        async (width, height, values, seed) => {
          const pixels = Uint16Array.from({ length: width * height }, (_, i) => (seed + i * 40_503) % 65_536);
          const cards: Card[] = values.map((value, i) => ({ keyword: `KEY${i}`, value, comment: "a note" }));
          const file = encodeFits({ width, height, pixels }, cards);
          expect(file.length % 2880).toBe(0);
          const back = await read(file);
          expect([...back.pixels]).toEqual([...pixels]);
          // The mandatory seven come first.
          expect(back.cards.slice(7)).toEqual(cards.map(({ keyword, value }) => ({ keyword, value })));
        },
      ),
      { numRuns: 60 },
    );
  });

  it("keeps its header to printable ASCII, whatever the names", async () => {
    expect(asciiText("Hα of Bételgeuse, 12°")).toBe("Halpha of Betelgeuse, 12 deg");
    const file = encodeFits({ width: 1, height: 1, pixels: new Uint16Array([0]) }, [
      { keyword: "OBJECT", value: `ж'${"x".repeat(200)}\n` },
    ]);
    expect(file.subarray(0, 2880).toString("latin1")).toMatch(/^[\x20-\x7e]+$/);
    expect((await read(file)).cards.at(-1)?.value).toMatch(/^\?'x+$/);
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

test("two gigabytes are refused by their header alone, in a sentence", async () => {
  const folder = mkdtempSync(join(tmpdir(), "fits-"));
  const path = join(folder, "huge.fits");
  const header = [
    ...["SIMPLE  =                    T", "BITPIX  = -64", "NAXIS   = 2", "NAXIS1  = 16384"],
    ...["NAXIS2  = 16384", "END"],
  ];
  writeFileSync(
    path,
    header
      .map((line) => line.padEnd(80))
      .join("")
      .padEnd(2880),
  );
  truncateSync(path, 2880 + 16_384 ** 2 * 8);
  await expect(readFits({ path })).rejects.toThrow(/16384 × 16384 pixels.*bin the camera's pixels/);
  rmSync(folder, { recursive: true });
});

describe("a damaged FITS file is refused with a sentence", () => {
  const whole = encodeFits({ width: 40, height: 40, pixels: new Uint16Array(1600) }, []);
  const withHeader = (from: string, to: string): Buffer => {
    const copy = Buffer.from(whole);
    copy.write(to, copy.indexOf(from), "latin1");
    return copy;
  };

  const lines = (...text: string[]): Buffer =>
    Buffer.from(
      [...text, "END"]
        .map((line) => line.padEnd(80))
        .join("")
        .padEnd(2880),
      "latin1",
    );
  const simple = "SIMPLE  =                    T";

  it.each([
    ["a header without sizes", lines(simple), /how many axes/],
    ["a thousand axes", lines(simple, "NAXIS   = 1000"), /how many axes/],
    [
      "a length below nothing",
      lines(simple, "NAXIS   = 2", "NAXIS1  = -5", "NAXIS2  = 5"),
      /NAXIS1 is no length/,
    ],
    ["a length that is no number", lines(simple, "NAXIS   = 2", "NAXIS1  = 1e999", "NAXIS2  = 5"), /NAXIS1/],
    ["a size in hexadecimal", lines(simple, "NAXIS   = 0x2"), /how many axes/],
    [
      "a header that never ends",
      Buffer.from(`${simple.padEnd(80)}${" ".repeat(4_000_000)}`),
      /no end of header/,
    ],
    [
      "a table larger than any disk",
      lines(simple, "BITPIX  = 8", "NAXIS   = 0", "PCOUNT  = 9000000000000000"),
      /no two-dim/,
    ],
    [
      "nothing but a header",
      lines(simple, "BITPIX  = 16", "NAXIS   = 2", "NAXIS1  = 7000", "NAXIS2  = 7000"),
      /cut short/,
    ],
  ])("%s", async (_name, bytes, sentence) => {
    await expect(read(bytes)).rejects.toThrow(sentence);
  });

  it.each([
    ["not FITS at all", Buffer.from("GIF89a"), /begin with SIMPLE|end of header/],
    ["a page of text", Buffer.alloc(2880, "x"), /begin with SIMPLE/],
    ["no end of header", whole.subarray(0, 240), /end of header/],
    ["pixels cut off", whole.subarray(0, 2880 + 1000), /cut short/],
    [
      "a size out of this world",
      withHeader("                  40", "          4000000000"),
      /no more than 64 million/,
    ],
    [
      "three axes",
      withHeader("                   2", "                   3"),
      /NAXIS3 is no length|no two-dim/,
    ],
    ["an unknown number format", withHeader("                  16", "                  17"), /no two-dim/],
  ])("%s", async (_name, bytes, sentence) => {
    const refused = read(bytes);
    await expect(refused).rejects.toThrow(Refusal);
    await expect(refused).rejects.toThrow(sentence);
  });
});
