/** What the terminal says of the room: address, QR code, class code, pass, and who can come in. */
import qrcode from "qrcode";

export interface RoomFacts {
  readonly address: string;
  /** Other addresses of this machine, where it has several. */
  readonly others: readonly string[];
  /** Whether other machines on the network can reach it. */
  readonly open: boolean;
  readonly classCode: string;
  readonly instructorPass: string;
  /** The port that was wanted, when it was taken. */
  readonly takenPort: number | null;
  /** Whether the text is shown where colours work: then the code is dark on light whatever the window's colours. */
  readonly colours: boolean;
}

/** The lines for the terminal; the QR code only where a phone can follow it. */
export function roomInvitation(facts: RoomFacts): string {
  const moved = facts.takenPort === null ? "" : ` (port ${facts.takenPort} is taken by another program)`;
  const lines = [
    `Room: ${facts.address}${moved}`,
    `Class code ${facts.classCode} · instructor's pass, good for one use: ${facts.instructorPass}`,
  ];
  if (!facts.open) {
    lines.push(
      "Only this computer can open it. To let phones in, start with  npm start -- --lan : a QR code for them appears here.",
    );
    return `${lines.join("\n")}\n`;
  }
  lines.push(
    "Open to every device on this network that knows the class code; it sees names, requests and frames of the class.",
    "Plain HTTP: anyone listening on the network can read along. For a classroom, not for the open internet.",
  );
  if (facts.others.length > 0) lines.push(`If that address does not answer: ${facts.others.join(" or ")}`);
  lines.push("Scan to join:", ...qrLines(qrRows(joinAddress(facts.address, facts.classCode)), facts.colours));
  return `${lines.join("\n")}\n`;
}

/** The page with the class code filled in; what follows # stays in the browser. */
export function joinAddress(address: string, classCode: string): string {
  return `${address}/#${classCode.replace(/-/g, "")}`;
}

/** A QR code as rows of 1 (dark) and 0, for the page to draw. */
export function qrRows(text: string): string[] {
  const { modules } = qrcode.create(text, { errorCorrectionLevel: "M" });
  return Array.from({ length: modules.size }, (_, row) =>
    Array.from({ length: modules.size }, (_, column) => (modules.get(row, column) ? "1" : "0")).join(""),
  );
}

/** Light modules around the code, as ISO/IEC 18004 asks. */
const MARGIN = 4;
const DARK_ON_LIGHT = "\u001b[30;107m";
const USUAL = "\u001b[0m";

/** Two rows of the code in one line of half blocks; without colours for a dark window. */
function qrLines(rows: readonly string[], colours: boolean): string[] {
  const size = rows.length + 2 * MARGIN;
  const isDark = (row: number, column: number): boolean => rows[row - MARGIN]?.[column - MARGIN] === "1";
  return Array.from({ length: Math.ceil(size / 2) }, (_, line) => {
    const cells = Array.from({ length: size }, (_, column) => {
      const [upper, lower] = [isDark(2 * line, column), isDark(2 * line + 1, column)];
      const drawn = colours ? [upper, lower] : [!upper, !lower];
      return HALVES[Number(drawn[0]) * 2 + Number(drawn[1])];
    });
    return colours ? `${DARK_ON_LIGHT}${cells.join("")}${USUAL}` : cells.join("");
  });
}

/** Neither half, the lower, the upper, both. */
const HALVES = [" ", "▄", "▀", "█"] as const;
