/** What breaks ends in a hold with a sentence, and goes on when an operator has looked: no frame twice, none lost that came. */
import { expect, test } from "vitest";
import { MINUTE, SECOND } from "../../../src/base/units.js";
import { Evening } from "../evening.js";
import { opensDevice, serverOf } from "./device-evening.js";
import type { ScriptedServer } from "./scripted-server.js";

interface Night {
  readonly evening: Evening;
  readonly server: ScriptedServer;
}

const begin = async (): Promise<Night> => {
  const evening = await Evening.begin(opensDevice());
  return { evening, server: serverOf(evening.clock) };
};
const exposures = ({ server }: Night): number =>
  server.orders.filter((each) => /CCD_EXPOSURE C/.test(each)).length;
const done = async ({ evening }: Night): Promise<string[]> =>
  (await evening.said()).filter((each) => / 1$/.test(each));
const ALL_DONE = ["request.taken 1", "frame.done 1", "frame.done 1", "request.completed 1"];

interface Breakage {
  readonly what: string;
  readonly breaks: (night: Night) => void;
  readonly mends?: (night: Night) => void;
  readonly says: RegExp;
}

/** While the mount moves for the first request. */
const WHILE_MOVING: readonly Breakage[] = [
  {
    what: "a mount that hangs",
    breaks: ({ server }) => void server.hung.add("Mount"),
    mends: ({ server }) => void server.hung.delete("Mount"),
    says: /^the mount did not (arrive where it was sent|unpark) within/,
  },
  {
    what: "a mount whose driver dies and comes back",
    breaks: ({ server }) => server.restart("Mount"),
    says: /^the mount/,
  },
  {
    what: "a dome that refuses to turn",
    breaks: ({ server }) => {
      server.instead = (device, name) => {
        if (name === "ABS_DOME_POSITION") server.set(device, name, {}, "Alert");
        return name === "ABS_DOME_POSITION";
      };
    },
    mends: ({ server }) => {
      server.instead = () => false;
    },
    says: /^the dome did not turn to \d+°: Dome refused, or gave up$/,
  },
  {
    what: "a mount that says Ok at the wrong place",
    breaks: ({ server }) => {
      server.instead = (device, name) => {
        if (name === "EQUATORIAL_EOD_COORD") server.set(device, name, { RA: "3", DEC: "12" });
        return name === "EQUATORIAL_EOD_COORD";
      };
    },
    mends: ({ server }) => {
      server.instead = () => false;
    },
    says: /^the mount did not arrive where it was sent, though Mount says that it is done$/,
  },
  {
    what: "a shutter that does not open",
    breaks: ({ server }) => {
      server.instead = (_, name) => name === "DOME_SHUTTER";
    },
    mends: ({ server }) => {
      server.instead = () => false;
    },
    says: /^the dome's shutter did not open, though Dome says that it is done$/,
  },
  {
    what: "a line that breaks",
    breaks: ({ server }) => {
      server.refuses = true;
      server.cut();
    },
    mends: ({ server }) => {
      server.refuses = false;
    },
    says: /^the connection to the devices' server broke; nothing can be commanded until the line is back, so only the site's own watchdog/,
  },
  {
    what: "a server that sends what is no XML",
    breaks: ({ server }) => {
      server.alter = (text) => text.replace("</", "<<");
    },
    mends: ({ server }) => {
      server.alter = (text) => text;
    },
    says: /^(the devices' server sent what cannot be read|the mount)/,
  },
];

test.each(WHILE_MOVING)("$what, while the telescope moves", async ({ breaks, mends, says }) => {
  const night = await begin();
  const { evening, server } = night;
  await evening.go(2 * SECOND);
  breaks(night);
  await evening.go(10 * MINUTE);
  expect(evening.desk.state.hold).toMatchObject({ by: "telescope", reason: expect.stringMatching(says) });
  expect(evening.desk.state.taken?.number).toBe(1);
  expect(exposures(night)).toBe(0);
  mends?.(night);
  await evening.go(MINUTE);
  expect(exposures(night)).toBe(0);
  await evening.resume();
  await evening.go(10 * MINUTE);
  expect(await done(night)).toEqual(ALL_DONE);
  expect(server.orders.filter((each) => /EXPOSURE C/.test(each))).toHaveLength(4);
  await evening.driver.stop();
});

test("a line that breaks during an exposure: the frame that comes after all is kept, and not taken twice", async () => {
  const night = await begin();
  const { evening, server } = night;
  await evening.reach("exposing");
  server.cut();
  await evening.go(MINUTE);
  expect(evening.desk.state.hold?.by).toBe("telescope");
  expect(exposures(night)).toBe(1);
  await evening.resume();
  await evening.go(10 * MINUTE);
  expect(await done(night)).toEqual(ALL_DONE);
  expect(exposures(night)).toBe(4);
  await evening.driver.stop();
});

test("an exposure whose frame was sent while nobody listened is known to be lost, and taken again", async () => {
  const night = await begin();
  const { evening, server } = night;
  await evening.reach("exposing");
  server.refuses = true;
  server.cut();
  await evening.go(MINUTE);
  server.refuses = false;
  await evening.go(20 * SECOND);
  await evening.resume();
  await evening.go(10 * MINUTE);
  expect(await done(night)).toEqual(ALL_DONE);
  expect(exposures(night)).toBe(5);
  await evening.driver.stop();
});

test.each<Breakage>([
  {
    what: "a camera whose driver is started anew",
    breaks: ({ server }) => server.restart("Camera"),
    says: /^the camera/,
  },
  {
    what: "a camera that gives up",
    breaks: ({ server }) => {
      server.instead = (_, name) => name === "CCD_EXPOSURE";
      server.set("Camera", "CCD_EXPOSURE", {}, "Alert");
    },
    mends: ({ server }) => {
      server.instead = () => false;
    },
    says: /^the camera gave up its exposure$/,
  },
  {
    what: "somebody who aborts at the camera",
    breaks: ({ server }) => server.set("Camera", "CCD_EXPOSURE", {}, "Idle"),
    says: /^the exposure was aborted at the camera$/,
  },
  {
    what: "a frame of another length",
    breaks: ({ server }) => server.sendFrame("Empty", 1),
    says: /^the camera sent a frame of 1 s where 30 s were asked for$/,
  },
])("$what, during an exposure", async ({ breaks, mends, says }) => {
  const night = await begin();
  const { evening } = night;
  await evening.reach("exposing");
  breaks(night);
  await evening.go(5 * MINUTE);
  expect(evening.desk.state.hold?.reason).toMatch(says);
  mends?.(night);
  await evening.resume();
  await evening.go(10 * MINUTE);
  expect(await done(night)).toEqual(ALL_DONE);
  await evening.driver.stop();
});

test("a camera that does not answer the operator's resume is not exposed again", async () => {
  const night = await begin();
  const { evening, server } = night;
  await evening.reach("exposing");
  server.hung.add("Camera");
  await evening.go(5 * MINUTE);
  expect(evening.desk.state.hold?.reason).toMatch(/^the camera sent no frame within/);
  await evening.resume();
  await evening.go(5 * MINUTE);
  expect(evening.desk.state.hold?.reason).toMatch(
    /^the camera \("Camera"\) did not say how it stands within/,
  );
  expect(exposures(night)).toBe(1);
  await evening.driver.stop();
});

test("after a longer break of the line everything is stopped, parked and shut as soon as it can be reached", async () => {
  const night = await begin();
  const { evening, server } = night;
  await evening.reach("exposing");
  server.refuses = true;
  server.cut();
  await evening.go(4 * MINUTE);
  const before = server.orders.length;
  server.refuses = false;
  await evening.go(MINUTE);
  expect(server.orders.slice(before)).toEqual(
    expect.arrayContaining(["Mount TELESCOPE_PARK PARK=On", "Dome DOME_SHUTTER SHUTTER_CLOSE=On"]),
  );
  await evening.resume();
  await evening.go(10 * MINUTE);
  expect(await done(night)).toEqual(ALL_DONE);
  await evening.driver.stop();
});

test("a cancelled request whose machines cannot be reached leaves a hold that says so", async () => {
  const { evening, server } = await begin();
  await evening.reach("exposing");
  server.refuses = true;
  server.cut();
  await evening.happen({
    type: "requests.cancelled",
    cancelId: "c",
    numbers: [1],
    reason: "cloud",
    by: "terminal:quill",
  });
  await evening.go(MINUTE);
  expect(evening.desk.state.hold?.reason).toMatch(
    /^the telescope, which was to stop #1, may still move: the line/,
  );
  expect(evening.desk.state.taken).toBeNull();
  await evening.driver.stop();
});

test("a line that dies without a word is noticed", async () => {
  const { evening, server } = await begin();
  await evening.go(20 * MINUTE);
  for (const device of ["Mount", "Dome", "Camera", "Wheel", "Weather"]) server.hung.add(device);
  await evening.go(2 * MINUTE);
  expect(evening.desk.state.hold?.reason).toMatch(/^the devices' server does not answer any more/);
  await evening.driver.stop();
});
