/** Names beside the marks of the drawn sky, none over another. */

export interface Mark {
  /** In units of the drawing; y grows downwards. */
  readonly x: number;
  readonly y: number;
  readonly text: string;
}

export interface Label {
  /** From the mark to the text's baseline start, middle or end. */
  readonly dx: number;
  readonly dy: number;
  readonly anchor: "start" | "middle" | "end";
}

interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** Width of a letter, of the letters' height: an average of the fonts in use. */
const LETTER_WIDTH = 0.6;
/** Half of a mark, units of the drawing. */
const MARK = 6;

/**
 * A place for each name: right of its mark, left, above or beneath, the first where it covers neither another
 * name nor another mark nor leaves the drawing; null where there is no room. Earlier marks choose first.
 * @param kept other places that stay free, such as the letters of the compass
 * @param fontSize height of the letters, units
 * @param edge how far the drawing reaches from its middle, units
 */
export function placeLabels(
  marks: readonly Mark[],
  kept: readonly Pick<Mark, "x" | "y">[],
  fontSize: number,
  edge: number,
): (Label | null)[] {
  const taken: Box[] = kept.map(boxOfMark);
  return marks.map((mark, index) => {
    const others = marks.filter((_, place) => place !== index).map(boxOfMark);
    const found = candidates(fontSize).find((label) => {
      const box = boxOf(mark, label, fontSize);
      const isInside = Math.max(-box.left, box.right, -box.top, box.bottom) <= edge;
      return isInside && ![...taken, ...others].some((each) => overlap(each, box));
    });
    if (!found) return null;
    taken.push(boxOf(mark, found, fontSize));
    return found;
  });
}

function candidates(fontSize: number): Label[] {
  const middle = fontSize * 0.36;
  return [
    { dx: MARK + 2, dy: middle, anchor: "start" },
    { dx: -MARK - 2, dy: middle, anchor: "end" },
    { dx: 0, dy: -MARK - 2, anchor: "middle" },
    { dx: 0, dy: MARK + fontSize * 0.85, anchor: "middle" },
  ];
}

function boxOf({ x, y, text }: Mark, { dx, dy, anchor }: Label, fontSize: number): Box {
  const width = text.length * fontSize * LETTER_WIDTH;
  const left = x + dx - { start: 0, middle: width / 2, end: width }[anchor];
  return { left, right: left + width, top: y + dy - fontSize * 0.8, bottom: y + dy + fontSize * 0.2 };
}

function boxOfMark({ x, y }: Pick<Mark, "x" | "y">): Box {
  return { left: x - MARK + 2, right: x + MARK - 2, top: y - MARK + 2, bottom: y + MARK - 2 };
}

function overlap(a: Box, b: Box): boolean {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}
