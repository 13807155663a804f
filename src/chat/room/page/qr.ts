/** A QR code as a drawing. */
import { svg } from "./dom.js";

/** @param rows of "1" (dark) and "0" */
export function qrDrawing(rows: readonly string[]): SVGElement {
  const size = rows.length;
  const dark = rows.flatMap((row, y) =>
    [...row].flatMap((cell, x) => (cell === "1" ? [`M${x} ${y}h1v1h-1z`] : [])),
  );
  const quiet = 4;
  return svg(
    "svg",
    {
      viewBox: `${-quiet} ${-quiet} ${size + 2 * quiet} ${size + 2 * quiet}`,
      role: "img",
      "aria-label": "QR code of the address with the class code",
    },
    svg("rect", {
      x: -quiet,
      y: -quiet,
      width: size + 2 * quiet,
      height: size + 2 * quiet,
      class: "qr-light",
    }),
    svg("path", { d: dark.join(""), class: "qr-dark" }),
  );
}
