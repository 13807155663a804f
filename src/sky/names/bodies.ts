/** The planets and the Moon as targets. The Sun is never one. */
import type { BodyTarget } from "../target.js";

const planet = (body: Exclude<BodyTarget["body"], "Moon">): BodyTarget => ({
  kind: "body",
  id: body.toLowerCase(),
  name: body,
  type: "planet",
  body,
});

/** Jupiter first: the order in which they are offered. */
export const bodies: readonly { readonly target: BodyTarget; readonly names: readonly string[] }[] = [
  { target: { kind: "body", id: "moon", name: "Moon", type: "moon", body: "Moon" }, names: ["moon", "luna"] },
  ...(["Jupiter", "Saturn", "Mars", "Venus", "Mercury", "Uranus", "Neptune", "Pluto"] as const).map(
    (body) => ({
      target: planet(body),
      names: [body.toLowerCase()],
    }),
  ),
];
