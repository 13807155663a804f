/** The front door: it always answers, and a fault of ours never shows its insides. */
import { describe, expect, it } from "vitest";
import { Refusal } from "../../src/base/refusal.js";
import { nameFor } from "../../src/commands/people/people.js";
import { mira, openWorld, read, zelda } from "./world.js";

describe("dispatch", () => {
  it("turns a fault into one plain sentence and puts the details into the log", async () => {
    const world = openWorld();
    Object.assign(world.services.forecast, {
      order: () => {
        throw new TypeError("cannot read properties of undefined (secret)");
      },
    });
    const reply = read(await world.type("/queue"));
    expect(reply).toBe(
      "[refused] Something went wrong\nNightslate made a mistake here; the operator's log has the details. Type /mine to see how your requests stand, then try again.",
    );
    expect(world.faults).toHaveLength(1);
    expect(JSON.stringify(world.faults[0])).not.toContain("mira");
  });

  it("refuses to accept what could not be stored, in the store's own sentence", async () => {
    const world = openWorld();
    await world.type("/queue");
    Object.assign(world.services.desk, {
      act: () =>
        Promise.reject(
          new Refusal("not-stored", "The disk is full, so nothing was accepted: tell the operator."),
        ),
    });
    expect(read(await world.type("/request M31"))).toBe(
      "[refused] Not done\nThe disk is full, so nothing was accepted: tell the operator.",
    );
  });

  it("still answers someone who only looks when the disk is full", async () => {
    const world = openWorld();
    Object.assign(world.services.desk, {
      act: () => Promise.reject(new Refusal("not-stored", "The disk is full.")),
    });
    expect((await world.type("/tonight")).tone).not.toBe("refused");
    expect(read(await world.type("/when"))).toContain("You have no request waiting.");
  });

  it("knows a person's changed name, role or class from then on", async () => {
    const world = openWorld();
    await world.type("/queue", mira);
    await world.type("/queue", { ...mira, name: "Mira K.", role: "operator" });
    expect(world.services.desk.state.people.get(mira.id)).toMatchObject({
      name: "Mira K.",
      role: "operator",
      group: "Alder",
    });
  });

  it("takes a command's name in any case and refuses an unknown one with the nearest", async () => {
    const world = openWorld();
    expect((await world.use("WHEN", {})).tone).toBe("refused");
    expect(read(await world.use("reqest", {}))).toContain(
      "There is no command /reqest; did you mean /request?",
    );
  });
});

describe("A name", () => {
  it("is shown inside its class only", async () => {
    const world = openWorld();
    await world.type("/queue", mira);
    await world.type("/queue", zelda);
    const { services } = world;
    const name = (id: string, classId: string) => nameFor(id, classId, services.desk.state, services.config);
    expect(name(mira.id, "evening-2")).toBe("Mira");
    expect(name(mira.id, "morning-1")).toBe("someone in another class");
    expect(name(zelda.id, "evening-2")).toBe("someone in another class");
    expect(name("terminal:ines", "evening-2")).toBe("Ines");
    expect(name("terminal:ines", "morning-1")).toBe("someone");
    expect(name("terminal:stranger", "evening-2")).toBe("someone");
    await world.type("/queue", { ...mira, name: "Mira B.", classId: "morning-1" });
    expect(name(mira.id, "morning-1")).toBe("Mira B.");
    expect(name(mira.id, "evening-2")).toBe("Mira");
  });
});
