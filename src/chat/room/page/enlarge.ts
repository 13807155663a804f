/** A picture in the sheet, as large as wished: it scrolls in its own box. */
import { button, el } from "./dom.js";
import { openSheet } from "./sheet.js";

/** Times the sheet's width. */
const STEPS = [1, 1.6, 2.5, 4] as const;
/** A chart's letters can be read from this width on, pixels. */
const LEGIBLE_WIDTH = 780;

/** Opens it at a size at which it can be read. */
export function openPicture(title: string, src: string, alt: string): void {
  const image = el("img", { src, alt, class: "large" });
  const box = el(
    "div",
    { class: "zoom", tabindex: 0, role: "group", "aria-label": "Picture, scrolls" },
    image,
  );
  let step = 0;
  const show = (wanted: number): void => {
    step = Math.min(STEPS.length - 1, Math.max(0, wanted));
    image.style.width = `${(STEPS[step] as number) * 100}%`;
    smaller.disabled = step === 0;
    larger.disabled = step === STEPS.length - 1;
  };
  const larger = button("Larger", () => show(step + 1), { class: "act" });
  const smaller = button("Smaller", () => show(step - 1), { class: "act" });
  openSheet(title, el("div", { class: "acts" }, larger, smaller), box);
  const needed = LEGIBLE_WIDTH / Math.max(1, box.clientWidth);
  const legible = STEPS.findIndex((each) => each >= needed);
  show(legible === -1 ? STEPS.length - 1 : legible);
}
