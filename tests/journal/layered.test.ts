/** A layer behaves as a changed copy would, and leaves what is beneath it as it was. */
import fc from "fast-check";
import { expect, test } from "vitest";
import { LayeredMap, LayeredSet } from "../../src/journal/layered.js";

const key = fc.integer({ min: 0, max: 6 });
const changes = fc.array(
  fc.oneof(
    fc.record({ do: fc.constant("set" as const), key, value: fc.integer() }),
    fc.record({ do: fc.constant("delete" as const), key, value: fc.constant(0) }),
  ),
  { maxLength: 30 },
);

test("a layered map equals a copied map after any changes, order included", () => {
  fc.assert(
    fc.property(fc.array(fc.tuple(key, fc.integer())), changes, changes, (start, lower, upper) => {
      const base = new Map(start);
      const untouched = [...base];
      const model = new Map(base);
      const middle = new LayeredMap(base);
      for (const change of lower) expect(apply(middle, change)).toEqual(apply(model, change));
      const top = new LayeredMap(middle);
      for (const change of upper) expect(apply(top, change)).toEqual(apply(model, change));
      expect([...top]).toEqual([...model]);
      expect(top.size).toBe(model.size);
      for (let each = 0; each <= 6; each++) {
        expect([top.has(each), top.get(each)]).toEqual([model.has(each), model.get(each)]);
      }
      expect([...base]).toEqual(untouched);
    }),
  );
});

test("a layered set equals a copied set after any changes, order included", () => {
  fc.assert(
    fc.property(fc.array(key), changes, changes, (start, lower, upper) => {
      const base = new Set(start);
      const untouched = [...base];
      const model = new Set(base);
      const middle = new LayeredSet(base);
      for (const { do: what, key } of lower) {
        for (const set of [middle, model]) what === "set" ? set.add(key) : set.delete(key);
      }
      const top = new LayeredSet(middle);
      for (const { do: what, key } of upper) {
        for (const set of [top, model]) what === "set" ? set.add(key) : set.delete(key);
      }
      expect([...top]).toEqual([...model]);
      expect(top.size).toBe(model.size);
      for (let each = 0; each <= 6; each++) expect(top.has(each)).toBe(model.has(each));
      expect([...base]).toEqual(untouched);
    }),
  );
});

test("entries can be deleted while the layer is being walked", () => {
  const layer = new LayeredMap(new Map([["a", 1]]));
  layer.set("b", 2);
  for (const [name] of layer) layer.delete(name);
  expect(layer.size).toBe(0);
});

function apply(
  map: Map<number, number> | LayeredMap<number, number>,
  change: { do: "set" | "delete"; key: number; value: number },
): boolean {
  if (change.do === "delete") return map.delete(change.key);
  map.set(change.key, change.value);
  return true;
}
