/** Red light: eyes adapted to the dark see nothing but red, as bright as its reader wants it. */
import { byId } from "../draw/dom.js";
import { recall, remember } from "../keep.js";

const FULL = 100;
const LEAST = 25;

/** From the first screen on, as it was left. */
export function startLight(): void {
  const [light, dim, level] = [byId("light"), byId("dim"), byId<HTMLInputElement>("dim-level")];
  const set = (red: boolean): void => {
    document.body.classList.toggle("red", red);
    light.setAttribute("aria-pressed", String(red));
    dim.hidden = !red;
    remember("light", red ? "red" : "");
  };
  const shine = (): void => {
    document.body.style.setProperty("--shine", String(Math.round((255 * Number(level.value)) / FULL)));
    remember("brightness", level.value);
  };
  level.value = String(Math.min(FULL, Math.max(LEAST, Number(recall("brightness") ?? FULL) || FULL)));
  level.addEventListener("input", shine);
  light.addEventListener("click", () => set(!document.body.classList.contains("red")));
  shine();
  set(recall("light") === "red");
  // Nothing has been drawn until now, so that no other colour flashes up.
  document.body.classList.remove("unlit");
}
