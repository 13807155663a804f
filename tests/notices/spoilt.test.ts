/** A completed request that brought nothing says who can put it back. */
import { expect, test } from "vitest";
import { black, readNotice, Scene, usable } from "./scene.js";

const PUT_BACK = "An instructor can put it back with /return 1, its place kept.";

test("all frames black: the way back is said before the advice", async () => {
  const scene = new Scene();
  const [notice] = await scene.complete(await scene.ask(await scene.join("mira")), [
    black("cloud"),
    black("cloud"),
  ]);
  const lines = readNotice(notice!).split("\n");
  expect(lines.at(-2)).toBe(PUT_BACK);
  expect(lines.at(-1)).toContain("Ask again");
});

test("one usable frame, or one that nobody judged: nothing is to be put back", async () => {
  for (const verdict of [usable, null]) {
    const scene = new Scene();
    const number = await scene.ask(await scene.join("mira"));
    const [notice] = await scene.complete(number, [black("cloud"), verdict]);
    expect(readNotice(notice!)).not.toContain("/return");
  }
});

test("a frame that was too short says in how long what shows, and the press asks for that", async () => {
  const scene = new Scene();
  const number = await scene.ask(await scene.join("mira"));
  const short = { exposureSeconds: 0.01, enoughSeconds: 60, starsExpected: 0, starsSeen: 0 };
  const [notice] = await scene.complete(number, [{ ...black("too-short"), ...short }]);
  const text = readNotice(notice!);
  expect(text).toContain("Black: too short, in 0.01 s nothing here is bright enough to show.");
  expect(text).toMatch(/\nAsk for 60 s\.$/);
  expect(notice?.actions[0]?.options).toEqual({ target: "M13", filter: "V", exposure: 60, frames: 3 });
});

test("where some stars were expected, a short frame does not rule cloud out", async () => {
  const scene = new Scene();
  const number = await scene.ask(await scene.join("mira"));
  const short = { exposureSeconds: 5, enoughSeconds: 60, starsExpected: 9, starsSeen: 0 };
  const [notice] = await scene.complete(number, [{ ...black("too-short"), ...short }]);
  expect(readNotice(notice!)).toContain(
    "Black: too short, in 5 s too little shows to tell a clear sky from cloud, 0 of 9 expected stars seen.",
  );
});
