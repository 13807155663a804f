/** What people are told of the frame that they ask for. */
import { describe, expect, it } from "vitest";
import type { Config } from "../../src/config/config.js";
import { openWorld, read } from "./world.js";

const withCamera = (change: Partial<Config["observatory"]["camera"]>) => (config: Config) => ({
  ...config,
  observatory: { ...config.observatory, camera: { ...config.observatory.camera, ...change } },
});

describe("a frame", () => {
  it("of a nebula in its own line is judged by the line's published flux", async () => {
    const said = read(await openWorld("2026-11-28T19:30").type("/request M27 Hα 60"));
    expect(said).toMatch(/Expect a .*picture.*signal to noise about \d+\./);
    expect(said).not.toContain("too short");
  });

  it("of a nebula whose line nobody has published for us is said to be unknown, never too short", async () => {
    const said = read(await openWorld("2026-11-28T19:30").type("/request NGC 7000 Hα 60"));
    expect(said).toContain("How bright it is in Hα is not known here: try one frame first.");
    expect(said).not.toContain("too short");
    expect(said).not.toContain("more light through");
  });

  it("of a nebula in its own line that is too short names no wider filter: that would drown it", async () => {
    const brief = (config: Config) => ({
      ...config,
      queue: { ...config.queue, longestExposureSeconds: 0.5, mostFrames: 1 },
    });
    const said = read(await openWorld("2026-11-29T00:30", brief).type("/request M42 Hα 0.5"));
    expect(said).toContain("0.5 s is too short for it to show in filter Hα");
    expect(said).not.toContain("more light through");
    const galaxy = read(await openWorld("2026-11-28T20:00", brief).type("/request NGC 7742 Hα 0.5"));
    expect(galaxy).toContain("a filter that lets more light through would help");
  });

  it("says which bright part burns out", async () => {
    const said = read(await openWorld("2026-11-29T00:30").type("/request M42 clear 30"));
    expect(said).toContain("The Trapezium will burn out; the rest stays as it should.");
    expect(read(await openWorld("2026-11-28T21:00").type("/request M45 V 20"))).toContain(
      "Alcyone will burn out",
    );
  });

  it("of a target lost in the noise names what helps, and no other filter where there is none", async () => {
    const { filters } = (await openWorld()).services.config.observatory.camera;
    const blue = filters.filter(({ name }) => name === "B");
    const one = openWorld("2026-11-28T20:00", withCamera({ filters: blue }));
    const said = read(await one.type("/request NGC 7742 B 0.05"));
    expect(said).toMatch(/is too short for it to show in filter B: ask for \d+ s or so\./);
    expect(said).not.toContain("a filter that");
  });

  it("keeps to what the shutter can do", async () => {
    const slow = openWorld(
      "2026-11-28T20:00",
      withCamera({ shortestExposureSeconds: 0.5, longestExposureSeconds: 60 }),
    );
    const refused = await slow.type("/request Saturn V 0.1");
    expect(read(refused)).toContain("An exposure of 0.1 s is not possible: give from 0.5 to 60 s.");
    expect(read(await slow.type("/request Saturn V 120"))).toContain("give from 0.5 to 60 s.");
  });
});
