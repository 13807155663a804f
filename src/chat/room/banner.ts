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
}

/** The lines for the terminal; the QR code only where a phone can follow it. */
export async function roomBanner(facts: RoomFacts): Promise<string> {
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
  const qr = await qrcode.toString(joinAddress(facts.address, facts.classCode), { type: "utf8", margin: 2 });
  lines.push("Scan to join:", qr.trimEnd());
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
