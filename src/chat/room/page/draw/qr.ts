/** How to come in: the address's QR code as a drawing. */
import { html, nothing, svg } from "lit-html";

/** Light modules around the code, as ISO/IEC 18004 asks. */
const MARGIN = 4;

/** @param rows of "1" (dark) and "0"; nothing is drawn for none */
export function qrDrawing(rows: readonly string[]): unknown {
  if (rows.length === 0) return nothing;
  const dark = rows.flatMap((row, y) =>
    [...row].flatMap((cell, x) => (cell === "1" ? [`M${x} ${y}h1v1h-1z`] : [])),
  );
  const whole = rows.length + 2 * MARGIN;
  return html`<div class="qr">${svg`<svg viewBox="${-MARGIN} ${-MARGIN} ${whole} ${whole}" role="img"
    aria-label="QR code of the address with the class code"><rect class="qr-light" x=${-MARGIN} y=${-MARGIN}
    width=${whole} height=${whole}></rect><path class="qr-dark" d=${dark.join("")}></path></svg>`}</div>`;
}
