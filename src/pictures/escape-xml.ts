/** Text that cannot break out of an SVG element or attribute. */

/** Text made safe inside SVG. */
export function escapeXml(text: string): string {
  return text
    .replace(/[\p{Cc}]/gu, " ")
    .replace(/&/g, "&amp;")
    .replace(/</g, "&lt;")
    .replace(/>/g, "&gt;")
    .replace(/"/g, "&quot;");
}
