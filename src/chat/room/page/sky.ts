/** The drawn dome of the sky: targets of the queue, the telescope, the slit, the Moon, the horizon mask; live. */
import type { ServerMessage, WireSkyPoint, WireTarget } from "../wire.js";
import { el, svg } from "./dom.js";
import { closeness, greeting } from "./me.js";
import { directionWord, onDome, type Standing, slitOutline, standing } from "./projection.js";
import { redraw } from "./redraw.js";
import { currentStatus } from "./scope.js";
import { placeLabels } from "./sky-labels.js";
import { now } from "./time.js";

type Sky = Extract<ServerMessage, { t: "sky" }>;
type Stars = Extract<ServerMessage, { t: "stars" }>;

const RADIUS = 100;
/** Half of the drawing, units: its viewBox. */
const EDGE = 118;
/** Height of the names' letters, units: as in sky.css and wall.css. */
const LETTERS = { desk: 9, wall: 7 };
const MASK_STEP = 5;
const COMPASS = [
  ["N", 0],
  ["E", 90],
  ["S", 180],
  ["W", 270],
] as const;

let sky: Sky | null = null;
let stars: Stars | null = null;

export function setSky(fresh: Sky): void {
  sky = fresh;
}

export function setStars(fresh: Stars): void {
  stars = fresh;
}

/** Draws it anew into a section. */
export function drawSky(into: HTMLElement): void {
  const site = greeting()?.site;
  if (!sky || !site) return;
  const hours = (now() - sky.clock.now) / 3_600_000;
  const place = (point: WireSkyPoint): Standing => standing(point, hours, site.latitudeDegrees);
  const targets = sky.targets.map((target) => ({ target, at: place(target) }));
  const up = targets.filter(({ at }) => at.altitude >= 0);
  const moonAt = sky.moon ? place(sky.moon) : null;
  const shownMoon = moonAt !== null && moonAt.altitude >= 0 ? moonAt : null;
  const names = labels([
    ...up.map(({ target, at }) => ({ at, text: markText(target) })),
    ...(shownMoon ? [{ at: shownMoon, text: "Moon" }] : []),
  ]);
  const drawing = svg(
    "svg",
    {
      viewBox: `${-EDGE} ${-EDGE} ${2 * EDGE} ${2 * EDGE}`,
      role: "img",
      "aria-label": "Dome of the sky, north up, east to the left",
    },
    ...ground(site.mask, site.altitudeLimit),
    ...starDots(site.latitudeDegrees),
    slit(),
    moon(shownMoon, names[up.length] ?? null),
    ...up.map(({ target, at }, index) => targetMark(target, at, names[index] ?? null)),
    telescope(),
  );
  const list = into.querySelector("details");
  const text = targets.map(({ target, at }) =>
    el("li", { "data-key": target.label }, targetWords(target, at)),
  );
  if (!list) {
    into.replaceChildren(el("div", { class: "dome" }, drawing), key(), readable(text));
    return;
  }
  into.querySelector(".dome svg")?.replaceChildren(...drawing.childNodes);
  const words = list.querySelector("ul");
  if (list.open && words) redraw(words, text);
}

function ground(mask: readonly number[], limit: number): SVGElement[] {
  const edge = Array.from({ length: 72 }, (_, index) =>
    point({ altitude: mask[index] ?? 0, azimuth: index * MASK_STEP }),
  );
  const hidden = `M0 ${-RADIUS}A${RADIUS} ${RADIUS} 0 1 0 0 ${RADIUS}A${RADIUS} ${RADIUS} 0 1 0 0 ${-RADIUS}Z M${edge.join("L")}Z`;
  return [
    svg("circle", { r: RADIUS, class: "sky-ground" }),
    svg("path", { d: hidden, class: "sky-mask", "fill-rule": "evenodd" }),
    ...[30, 60].map((altitude) => svg("circle", { r: ((90 - altitude) / 90) * RADIUS, class: "sky-ring" })),
    svg("circle", { r: ((90 - limit) / 90) * RADIUS, class: "sky-limit" }),
    svg("circle", { r: RADIUS, class: "sky-rim" }),
    ...COMPASS.map((point) => {
      const { x, y } = letterPlace(point);
      return svg("text", { x, y: y + 3.5, class: "sky-letter" }, point[0]);
    }),
  ];
}

function letterPlace([, azimuth]: (typeof COMPASS)[number]): { x: number; y: number } {
  const { x, y } = onDome({ altitude: -9.5, azimuth });
  return { x: x * RADIUS, y: y * RADIUS };
}

function starDots(latitude: number): (SVGElement | null)[] {
  if (!stars) return [];
  const hours = (now() - stars.clock.now) / 3_600_000;
  return stars.stars.map((star) => starDot(standing(star, hours, latitude), star.magnitude));
}

function starDot(at: Standing, magnitude: number): SVGElement | null {
  if (at.altitude < 0) return null;
  const { x, y } = onDome(at);
  return svg("circle", {
    cx: x * RADIUS,
    cy: y * RADIUS,
    r: Math.max(0.4, 1.5 - magnitude * 0.4),
    class: "sky-star",
  });
}

/** The sky that the dome leaves open. */
function slit(): SVGElement | null {
  const slit = currentStatus()?.slit ?? null;
  if (slit === null) return null;
  const edge = slitOutline(slit.azimuth, slit.halfWidth).map(point);
  return svg("path", { d: `M${edge.join("L")}Z`, class: "sky-slit" });
}

function telescope(): SVGElement | null {
  const { altitude, azimuth } = currentStatus() ?? { altitude: null, azimuth: null };
  if (altitude === null || azimuth === null) return null;
  const { x, y } = onDome({ altitude, azimuth });
  return svg(
    "g",
    { transform: `translate(${x * RADIUS} ${y * RADIUS})`, class: "sky-scope" },
    svg("circle", { r: 7 }),
    svg("path", { d: "M-11 0H-4M4 0H11M0 -11V-4M0 4V11" }),
  );
}

/** The lit part, to the scale of the drawing's symbols, not of the sky; its tilt is not drawn. */
function moon(at: Standing | null, label: SVGElement | null): SVGElement | null {
  if (!sky?.moon || at === null) return null;
  const { x, y } = onDome(at);
  const radius = 5.5;
  const bulge = radius * (1 - 2 * sky.moon.lit);
  const side = sky.moon.waxing ? 1 : 0;
  const inner = bulge > 0 ? 1 - side : side;
  const lit = `M0 ${-radius}A${radius} ${radius} 0 0 ${side} 0 ${radius}A${Math.abs(bulge)} ${radius} 0 0 ${inner} 0 ${-radius}Z`;
  return svg(
    "g",
    { transform: `translate(${x * RADIUS} ${y * RADIUS})`, class: "sky-moon" },
    svg("circle", { r: radius, class: "dark" }),
    svg("path", { d: lit, class: "lit" }),
    label,
  );
}

function targetMark(target: WireTarget, at: Standing, label: SVGElement | null): SVGElement {
  const { x, y } = onDome(at);
  const near = closeness(target.ids, target.groups);
  const shape = {
    you: "M0 -5.5L5 4H-5Z",
    group: "M0 -4.5L4.5 0L0 4.5L-4.5 0Z",
    other: "M-3 0A3 3 0 1 0 3 0A3 3 0 1 0 -3 0Z",
  }[near];
  return svg(
    "g",
    {
      transform: `translate(${x * RADIUS} ${y * RADIUS})`,
      class: `sky-target ${near}${target.place === 0 ? " now" : ""}`,
    },
    svg("path", { d: shape }),
    label,
  );
}

/** Names of the marks, those of the first to run placed first; one for which there is no room is left out. */
function labels(marks: readonly { readonly at: Standing; readonly text: string }[]): (SVGElement | null)[] {
  const letters = document.body.classList.contains("on-wall") ? LETTERS.wall : LETTERS.desk;
  const placed = marks.map(({ at, text }) => {
    const { x, y } = onDome(at);
    return { x: x * RADIUS, y: y * RADIUS, text };
  });
  return placeLabels(placed, COMPASS.map(letterPlace), letters, EDGE).map((label, index) =>
    label === null
      ? null
      : svg("text", { x: label.dx, y: label.dy, "text-anchor": label.anchor }, marks[index]?.text ?? ""),
  );
}

function markText(target: WireTarget): string {
  return closeness(target.ids, target.groups) === "you" ? `${target.label} yours` : target.label;
}

function targetWords(target: WireTarget, { altitude, azimuth }: Standing): string {
  const near = closeness(target.ids, target.groups);
  const whose = near === "you" ? ", yours" : near === "group" ? ", your group's" : "";
  const where =
    altitude < 0 ? "below the horizon" : `${Math.round(altitude)}° up in the ${directionWord(azimuth)}`;
  return `${target.label}: ${where}${whose}`;
}

function key(): HTMLElement {
  return el(
    "p",
    { class: "sky-key" },
    "▲ yours  ◆ your group's  ○ others  ⊕ telescope, in the dome's slit. Shaded edge: trees and walls; dashed: the lowest altitude.",
  );
}

function readable(items: readonly HTMLElement[]): HTMLElement {
  return el("details", {}, el("summary", {}, "The same in words"), el("ul", {}, ...items));
}

function point(at: Standing): string {
  const { x, y } = onDome(at);
  return `${(x * RADIUS).toFixed(1)} ${(y * RADIUS).toFixed(1)}`;
}
