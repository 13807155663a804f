/** Nothing of practice shows under a telescope that people work by hand: what each command answers, and what classes are told. */
import { expect, test } from "vitest";
import { commandTable } from "../../src/commands/table.js";
import { operatedTraits } from "../../src/telescope/operated.js";
import { mira, okoro, openWorld, quill, read } from "../commands/world.js";

test.each(["open", "shut anyway"])(
  "every example of every command speaks of nothing simulated, dome %s",
  async (dome) => {
    const world = openWorld("2026-11-25T20:00", (config) => ({
      ...config,
      telescope: { ...config.telescope, link: "by-hand" },
    }));
    world.status = { ...world.status, traits: operatedTraits };
    await world.type("/request M31 clear 20", mira);
    await world.type(`/equipment dome ${dome}`, okoro);
    await world.type("/equipment camera away", okoro);
    for (const { examples, who } of commandTable) {
      const asker = { student: mira, operator: okoro, instructor: quill }[who];
      for (const line of examples)
        expect(`${line}: ${read(await world.type(line, asker))}`).not.toMatch(/practice|simulat|invented/i);
    }
  },
);
