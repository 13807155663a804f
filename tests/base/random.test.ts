/** Seeded deviates follow the distributions they are named after (moments from any probability handbook). */
import { expect, test } from "vitest";
import { seededRandom } from "../../src/base/random.js";

const N = 200_000;
function moments(draw: () => number): { mean: number; variance: number } {
  let sum = 0;
  let squares = 0;
  for (let i = 0; i < N; i++) {
    const x = draw();
    sum += x;
    squares += x * x;
  }
  const mean = sum / N;
  return { mean, variance: squares / N - mean * mean };
}

test("the same seed gives the same sequence, another seed another", () => {
  const take = (seed: number) => {
    const random = seededRandom(seed);
    return Array.from({ length: 5 }, () => random.uniform());
  };
  expect(take(7)).toEqual(take(7));
  expect(take(7)).not.toEqual(take(8));
});

test("uniform deviates have mean 1/2 and variance 1/12, all within [0, 1)", () => {
  const random = seededRandom(1);
  let inside = true;
  const { mean, variance } = moments(() => {
    const x = random.uniform();
    inside &&= x >= 0 && x < 1;
    return x;
  });
  expect(inside).toBe(true);
  expect(mean).toBeCloseTo(0.5, 2);
  expect(variance).toBeCloseTo(1 / 12, 2);
});

test("normal deviates have mean 0 and variance 1", () => {
  const random = seededRandom(2);
  const { mean, variance } = moments(() => random.normal());
  expect(Math.abs(mean)).toBeLessThan(0.01);
  expect(Math.abs(variance - 1)).toBeLessThan(0.02);
});

test("exponential deviates have the mean asked for and its square as variance", () => {
  const random = seededRandom(3);
  const { mean, variance } = moments(() => random.exponential(4));
  expect(Math.abs(mean - 4)).toBeLessThan(0.05);
  expect(Math.abs(variance - 16)).toBeLessThan(0.5);
});

test.each([0.4, 7, 250])("Poisson deviates of mean %d have that variance too, and are whole", (expected) => {
  const random = seededRandom(4);
  let whole = true;
  const { mean, variance } = moments(() => {
    const x = random.poisson(expected);
    whole &&= Number.isInteger(x) && x >= 0;
    return x;
  });
  expect(whole).toBe(true);
  expect(Math.abs(mean / expected - 1)).toBeLessThan(0.01);
  expect(Math.abs(variance / expected - 1)).toBeLessThan(0.03);
});
