/** What a site adds to the catalogue, and small bodies, as people ask for them. */
import { describe, expect, it } from "vitest";
import { openWorld, read } from "./world.js";

describe("minor planets and comets", () => {
  it("are asked for by name, number or designation", async () => {
    const world = openWorld("2026-11-28T20:00");
    for (const [typed, title] of [
      ["Ceres", "Ceres, a minor planet"],
      ["(4) Vesta", "Vesta, a minor planet"],
      ["161P", "161P/Hartley-IRAS, a comet"],
      ["comet Hartley-IRAS", "161P/Hartley-IRAS, a comet"],
      ["C/2026 A2", "C/2026 A2 (Bok), a comet"],
    ] as const)
      expect((await world.type(`/target ${typed}`)).title).toBe(title);
    const card = read(await world.type("/target Vesta"));
    expect(card).toMatch(/Brightness: magnitude 7\.\d$/m);
    expect(card).toContain("<Ask for Vesta> /request Vesta");
    expect((await world.type("/request Vesta")).title).toMatch(/^#1 /);
  });

  it("with elements too old for the field are explained, not pointed at", async () => {
    const world = openWorld("2026-11-28T20:00");
    const sentence =
      /These elements of Juno are from 2024, so it may be 9\.6′ from where they put it, and the field reaches only 9\.3′ from its middle: bring newer ones from the Minor Planet Center\./;
    const card = await world.type("/target Juno");
    expect(read(card)).toMatch(sentence);
    expect(card.actions).toEqual([]);
    const reply = await world.type("/request Juno");
    expect(reply.tone).toBe("refused");
    expect(read(reply)).toMatch(sentence);
  });
});

describe("Pluto", () => {
  it("is asked for like a planet, and is not taken for a bright one", async () => {
    const card = read(await openWorld("2026-08-10T23:00").type("/target Pluto"));
    expect(card).toMatch(/It can be observed/);
    expect(card).toMatch(/Brightness: magnitude 14\.\d/);
  });
});

describe("the staff's own targets", () => {
  it("are found first, with the note that goes with them", async () => {
    const card = read(await openWorld().type("/target photometry field 1"));
    expect(card).toMatch(/Photometry Field 1\nComparison stars for section 2;/);
    expect(card).toContain("<Ask for Photometry Field 1> /request photometry-field-1");
    expect((await openWorld().type("/request photometry-field-1")).title).toMatch(/^#1 /);
  });
});
