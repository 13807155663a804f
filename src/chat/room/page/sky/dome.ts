/** The drawn dome of the sky: targets of the queue, the telescope, the slit, the Moon, the horizon mask; live. */
import { html, nothing, svg } from "lit-html";
import { repeat } from "lit-html/directives/repeat.js";
import { MASK_STEP_DEGREES, type WireSite, type WireSkyPoint, type WireTarget } from "../../wire.js";
import { draw } from "../draw/dom.js";
import { closeness, heard } from "../heard.js";
import { now } from "../time/clock-words.js";
import { directionWord, onDome, type Standing, slitOutline, standing } from "./projection.js";
import { placeLabels } from "./sky-labels.js";

const RADIUS = 100;
/** Half of the drawing, units: its viewBox. */
const EDGE = 118;
/** Height of the names' letters, units: as in sky.css and wall.css. */
const LETTERS = { desk: 9, wall: 7 };
const COMPASS = [
  ["N", 0],
  ["E", 90],
  ["S", 180],
  ["W", 270],
] as const;

/** Draws it anew into a section. */
export function drawSky(id: "sky-body" | "wall-sky"): void {
  const { sky, hello } = heard;
  if (!sky || !hello) return;
  const place = placer(sky.clock.now, hello.site);
  const targets = sky.targets.map((target) => ({ target, at: place(target) }));
  const up = targets.filter(({ at }) => at.altitude >= 0);
  const moonAt = sky.moon ? place(sky.moon) : null;
  const shownMoon = moonAt !== null && moonAt.altitude >= 0 ? moonAt : null;
  const names = labels([
    ...up.map(({ target, at }) => ({ at, text: markText(target) })),
    ...(shownMoon ? [{ at: shownMoon, text: "Moon" }] : []),
  ]);
  const marks = up.map(({ target, at }, index) => targetMark(target, at, names[index]));
  draw(
    id,
    html`<div class="dome">${svg`<svg viewBox="${-EDGE} ${-EDGE} ${2 * EDGE} ${2 * EDGE}" role="img"
      aria-label="Dome of the sky, north up, east to the left">${ground(hello.site)}${starDots(hello.site)}${slit()}${moon(
        shownMoon,
        names[up.length],
      )}${marks}${telescope()}</svg>`}</div>
    <p class="sky-key">▲ yours  ◆ your group's  ○ others  ⊕ telescope, in the dome's slit. Shaded edge: trees and walls; dashed: the lowest altitude.</p>
    <details><summary>The same in words</summary><ul>${repeat(
      targets,
      ({ target }) => target.label,
      ({ target, at }) => html`<li>${targetWords(target, at)}</li>`,
    )}</ul></details>`,
  );
}

/** Turns points that stood so at an instant with the sky. */
function placer(unixMs: number, { latitudeDegrees }: WireSite): (point: WireSkyPoint) => Standing {
  const hours = (now() - unixMs) / 3_600_000;
  return (point) => standing(point, hours, latitudeDegrees);
}

function ground({ mask, altitudeLimit }: WireSite): unknown {
  const edge = mask.map((altitude, index) => point({ altitude, azimuth: index * MASK_STEP_DEGREES }));
  const hidden = `M0 ${-RADIUS}A${RADIUS} ${RADIUS} 0 1 0 0 ${RADIUS}A${RADIUS} ${RADIUS} 0 1 0 0 ${-RADIUS}Z M${edge.join("L")}Z`;
  const ring = (altitude: number, kind: string) =>
    svg`<circle r=${((90 - altitude) / 90) * RADIUS} class=${kind}></circle>`;
  return svg`<circle r=${RADIUS} class="sky-ground"></circle><path d=${hidden} class="sky-mask" fill-rule="evenodd"></path>
    ${ring(30, "sky-ring")}${ring(60, "sky-ring")}${ring(altitudeLimit, "sky-limit")}
    <circle r=${RADIUS} class="sky-rim"></circle>${COMPASS.map((each) => {
      const { x, y } = letterPlace(each);
      return svg`<text x=${x} y=${y + 3.5} class="sky-letter">${each[0]}</text>`;
    })}`;
}

function letterPlace([, azimuth]: (typeof COMPASS)[number]): { x: number; y: number } {
  const { x, y } = onDome({ altitude: -9.5, azimuth });
  return { x: x * RADIUS, y: y * RADIUS };
}

function starDots(site: WireSite): unknown {
  if (!heard.stars) return nothing;
  const place = placer(heard.stars.clock.now, site);
  return heard.stars.stars.map((star) => starDot(place(star), star.magnitude));
}

function starDot(at: Standing, magnitude: number): unknown {
  if (at.altitude < 0) return nothing;
  const { x, y } = onDome(at);
  return svg`<circle cx=${x * RADIUS} cy=${y * RADIUS} r=${Math.max(0.4, 1.5 - magnitude * 0.4)} class="sky-star"></circle>`;
}

/** The sky that the dome leaves open. */
function slit(): unknown {
  const slit = heard.status?.slit ?? null;
  if (slit === null) return nothing;
  const edge = slitOutline(slit.azimuth, slit.halfWidth).map(point);
  return svg`<path d="M${edge.join("L")}Z" class="sky-slit"></path>`;
}

function telescope(): unknown {
  const { altitude, azimuth } = heard.status ?? { altitude: null, azimuth: null };
  if (altitude === null || azimuth === null) return nothing;
  return svg`<g transform="translate(${point({ altitude, azimuth })})" class="sky-scope"><circle r="7"></circle>
    <path d="M-11 0H-4M4 0H11M0 -11V-4M0 4V11"></path></g>`;
}

/** The lit part, to the scale of the drawing's symbols, not of the sky; its tilt is not drawn. */
function moon(at: Standing | null, label: unknown): unknown {
  const moon = heard.sky?.moon;
  if (!moon || at === null) return nothing;
  const radius = 5.5;
  const bulge = radius * (1 - 2 * moon.lit);
  const side = moon.waxing ? 1 : 0;
  const inner = bulge > 0 ? 1 - side : side;
  const lit = `M0 ${-radius}A${radius} ${radius} 0 0 ${side} 0 ${radius}A${Math.abs(bulge)} ${radius} 0 0 ${inner} 0 ${-radius}Z`;
  return svg`<g transform="translate(${point(at)})" class="sky-moon"><circle r=${radius} class="dark"></circle>
    <path d=${lit} class="lit"></path>${label}</g>`;
}

/** By whose it is. */
const SHAPES = {
  you: "M0 -5.5L5 4H-5Z",
  group: "M0 -4.5L4.5 0L0 4.5L-4.5 0Z",
  other: "M-3 0A3 3 0 1 0 3 0A3 3 0 1 0 -3 0Z",
};

function targetMark(target: WireTarget, at: Standing, label: unknown): unknown {
  const near = closeness(target.ids, target.groups);
  return svg`<g transform="translate(${point(at)})" class="sky-target ${near}${target.place === 0 ? " now" : ""}">
    <path d=${SHAPES[near]}></path>${label}</g>`;
}

/** Names of the marks, those of the first to run placed first; one for which there is no room is left out. */
function labels(marks: readonly { readonly at: Standing; readonly text: string }[]): unknown[] {
  const letters = document.body.classList.contains("on-wall") ? LETTERS.wall : LETTERS.desk;
  const placed = marks.map(({ at, text }) => {
    const { x, y } = onDome(at);
    return { x: x * RADIUS, y: y * RADIUS, text };
  });
  return placeLabels(placed, COMPASS.map(letterPlace), letters, EDGE).map((label, index) =>
    label === null
      ? nothing
      : svg`<text x=${label.dx} y=${label.dy} text-anchor=${label.anchor}>${marks[index]?.text}</text>`,
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

function point(at: Standing): string {
  const { x, y } = onDome(at);
  return `${(x * RADIUS).toFixed(1)} ${(y * RADIUS).toFixed(1)}`;
}
