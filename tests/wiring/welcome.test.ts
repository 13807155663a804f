/** The first lines at the terminal suggest only what will be granted. */
import { expect, test } from "vitest";
import type { Config } from "../../src/config/config.js";
import { firstMember } from "../../src/config/members.js";
import { bannerText } from "../../src/wiring/welcome.js";
import { openWorld } from "../commands/world.js";

function banner(localTime: string, change?: (config: Config) => Config): string {
  const { services } = openWorld(localTime, change);
  return bannerText(services, firstMember(services.config, "terminal"));
}

const atLatitude =
  (latitudeDegrees: number) =>
  (config: Config): Config => {
    const site = { ...config.observatory.site, latitudeDegrees };
    return { ...config, observatory: { ...config.observatory, site } };
  };

test("a target that is up is suggested", () => {
  expect(banner("2026-11-25T20:00")).toMatch(/to see what is up, {2}\/request \S+/);
});

test("the other students are counted, and not spoken of where there are none", () => {
  const withStudents =
    (many: number) =>
    (config: Config): Config => ({
      ...config,
      classes: config.classes.map((each) => ({ ...each, students: each.students.slice(0, many) })),
    });
  expect(banner("2026-11-25T20:00")).toMatch(/; the class's 2\d other students are asking too\./);
  expect(banner("2026-11-25T20:00", withStudents(2))).toContain("; the class's other student is asking too.");
  expect(banner("2026-11-25T20:00", withStudents(1))).not.toContain("asking too");
});

test("under the midnight Sun nothing is suggested, and the day is named on which it ends", () => {
  const text = banner("2026-06-21T23:30", atLatitude(69.6));
  expect(text).not.toContain("/request");
  expect(text).toMatch(/The Sun does not set tonight; nothing can be observed before \w{3} \d+ Aug\./);
  expect(text).toContain("/tonight  to see when it is dark");
});

test("of a telescope that really moves nothing is said of practice, and the time is simply the time", () => {
  const { services } = openWorld("2026-11-25T20:00");
  const traits = {
    simulated: false,
    notice: null,
    clockName: null,
    takenBy: "queue" as const,
    inventedClass: false,
  };
  const telescope = () => ({ ...services.telescope(), traits });
  const text = bannerText({ ...services, telescope }, firstMember(services.config, "terminal"));
  expect(text).not.toMatch(/practice|simulated|asking too|faster/i);
  expect(text).toContain("It is Wed 25 Nov 20:00 CST. All times here are the observatory's.");
});
