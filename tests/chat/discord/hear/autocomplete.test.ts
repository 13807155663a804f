/** Suggestions while typing. */
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { given, type SetUp, setUp } from "../set-up.js";
import type { Person } from "../stand-in/people.js";

describe("suggestions", () => {
  let here: SetUp;
  let mira: Person;
  beforeEach(async () => {
    here = await setUp();
    mira = here.standIn.join(given(here.classes[0]).guild, "mira");
  });
  afterEach(() => here.stop());

  it("come in the order given, at most 25, each within the platform's hundred characters", async () => {
    here.host.suggestions = Array.from({ length: 40 }, (_, index) => ({
      label: `M${index} · ${90 - index}° up ${"·".repeat(120)}`,
      value: `M${index}`,
    }));
    const { choices } = await mira.typeInto("request", "target", "M").settled;
    expect(choices?.map((each) => each.value)).toEqual(Array.from({ length: 25 }, (_, index) => `M${index}`));
    expect(choices?.every((each) => each.name.length <= 100)).toBe(true);
  });

  it("fill in a number where the option is one", async () => {
    here.host.suggestions = [
      { label: "#12 M13", value: "12" },
      { label: "#7 M31", value: "#7" },
      { label: "none of the above", value: "other" },
    ];
    const { choices } = await mira.typeInto("when", "request", "").settled;
    expect(choices).toEqual([
      { name: "#12 M13", value: 12 },
      { name: "#7 M31", value: 7 },
    ]);
  });

  it("never repeat a value, and are an empty list where there is nothing", async () => {
    here.host.suggestions = [
      { label: "Ring Nebula", value: "M57" },
      { label: "M57", value: "M57" },
    ];
    expect((await mira.typeInto("request", "target", "ring").settled).choices).toHaveLength(1);
    here.host.suggestions = [];
    expect((await mira.typeInto("request", "target", "zzz").settled).choices).toEqual([]);
  });
});
