/** The board: now, next, conditions, hold; nobody of another class by name. */
import { describe, expect, test } from "vitest";
import { HOUR, MINUTE } from "../../src/base/units.js";
import type { Estimate } from "../../src/estimates/forecast-service.js";
import type { TelescopeStatus } from "../../src/journal/telescope-status.js";
import { type Board, boardFor } from "../../src/notices/board.js";
import { practiceTraits } from "../../src/telescope/practice/link.js";
import { EIGHT_PM, EVENING, estimate, MORNING, readNotice, Scene } from "./scene.js";

const idle: TelescopeStatus = {
  activity: "idle",
  requestNumber: null,
  sinceUnixMs: EIGHT_PM,
  untilUnixMs: null,
  altitudeDegrees: null,
  azimuthDegrees: null,
  domeAzimuthDegrees: null,
  waitingFor: null,
  domeDegreesLeft: null,
  frame: null,
  frames: null,
  exposureSeconds: null,
  equipment: { telescope: "ready", dome: "open", camera: "fitted", sky: "clear" },
  traits: practiceTraits,
};

function board(scene: Scene, classId = EVENING, status: Partial<TelescopeStatus> = {}): Board {
  const order = () =>
    [...scene.desk.state.waiting].map((number, index) =>
      estimate(number, index + 1, scene.clock.now() + (index + 1) * 7 * MINUTE),
    );
  const { desk, clock, config } = scene;
  return boardFor(
    { desk, clock, config, forecast: { order }, telescope: () => ({ ...idle, ...status }) },
    classId,
  );
}

describe("the board", () => {
  test("of an idle telescope says what it waits for, and the conditions", async () => {
    const text = readNotice(board(new Scene()));
    expect(text).toContain("Tern Hollow Observatory: Evening Survey, section 2");
    expect(text).toContain("Now: nothing is being observed.");
    expect(text).toContain("Next: no requests waiting.");
    expect(text).toContain("dark until 06:40; telescope ready, dome open, camera fitted, sky clear.");
    expect(text).toContain("SIMULATED");
    expect(readNotice(board(new Scene(EIGHT_PM - 4 * HOUR)))).toContain("dark from 18:18");
    expect(readNotice(board(new Scene(EIGHT_PM + 14 * HOUR)))).toContain("not dark any more tonight");
  });

  test("names what is observed now and the next three of the class", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    for (let count = 0; count < 5; count++) await scene.ask(mira);
    await scene.take(1, 3);
    const text = readNotice(board(scene, EVENING, { activity: "exposing", frame: 2, frames: 3 }));
    expect(text).toContain("Now: #1 Hercules Cluster (M13), <hall:mira>: frame 2 of 3, done about 20:03.");
    expect(text).toContain("Next: 4 requests waiting.");
    expect(text).toContain("1. #2 Hercules Cluster (M13), <hall:mira>: about 20:07");
    expect(text).toContain("3. #4 ");
    expect(text).not.toContain("#5");
  });

  test("says of a request without a time whether it waits for the hold's end or has no turn tonight", async () => {
    const scene = new Scene();
    const mira = await scene.join("mira");
    for (let count = 0; count < 2; count++) await scene.ask(mira);
    const order = (): Estimate[] => [
      { ...estimate(1, null, null), noTurn: { why: "hold" } },
      { ...estimate(2, null, null), noTurn: { why: "no-time" } },
    ];
    const { desk, clock, config } = scene;
    const text = readNotice(
      boardFor({ desk, clock, config, forecast: { order }, telescope: () => idle }, EVENING),
    );
    expect(text).toMatch(/– #1 [^\n]*<hall:mira>: waits$/m);
    expect(text).toMatch(/– #2 [^\n]*<hall:mira>: no turn tonight$/m);
  });

  test("shows another class only as counts and places", async () => {
    const scene = new Scene();
    const [mira, otis] = [await scene.join("mira"), await scene.join("otis", MORNING)];
    await scene.ask(otis);
    await scene.ask(otis);
    await scene.ask(mira);
    await scene.take(1);
    const text = readNotice(board(scene));
    expect(text).toContain("Now: a request of another class");
    expect(text).toContain("2 requests waiting, 1 of other classes.");
    expect(text).toContain("2. #3 ");
    expect(text).not.toContain("otis");
    expect(text).not.toMatch(/#[12] /);
  });

  test("puts a hold first, and says that it is no interlock", async () => {
    const scene = new Scene();
    const hold = { reason: "cloud", by: "hall:quill", sinceUnixMs: EIGHT_PM, untilUnixMs: null };
    await scene.happen({ type: "hold.placed", hold });
    const [first, second] = readNotice(board(scene)).split("\n").slice(1);
    expect(first).toBe("On hold since 20:00, until staff resume. Reason: cloud.");
    expect(second).toContain("no interlock");
  });

  test("stays the same while there is nothing new to see", async () => {
    const scene = new Scene();
    await scene.ask(await scene.join("mira"));
    const before = JSON.stringify(board(scene));
    await scene.clock.moveTo(EIGHT_PM + 30_000);
    expect(JSON.stringify(board(scene))).toBe(before);
  });
});
