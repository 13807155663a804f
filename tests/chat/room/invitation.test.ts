/** What the terminal says of the room. */
import { expect, test } from "vitest";
import { joinAddress, qrRows, roomInvitation } from "../../../src/chat/room/serve/invitation.js";

const facts = {
  address: "http://192.168.7.20:8420",
  others: ["http://10.1.2.3:8420"],
  open: true,
  classCode: "K7MQ-4XRT",
  instructorPass: "AAAA-BBBB-CCCC",
  takenPort: null,
  colours: false,
};
const codeLines = (text: string): string[] => text.split("\n").filter((line) => /^[ ▄▀█]{20,}$/.test(line));

test("address, class code and pass are said, and what being open means", () => {
  const text = roomInvitation(facts);
  for (const part of [facts.address, facts.classCode, facts.instructorPass, "10.1.2.3", "Plain HTTP"]) {
    expect(text).toContain(part);
  }
});

test("the drawn code, read back half block by half block, is the QR code of the join address", () => {
  const rows = qrRows(joinAddress(facts.address, facts.classCode));
  const read = codeLines(roomInvitation(facts)).flatMap((line) => [
    [...line].map((cell) => (cell === "▀" || cell === "█" ? "0" : "1")).join(""),
    [...line].map((cell) => (cell === "▄" || cell === "█" ? "0" : "1")).join(""),
  ]);
  const inner = read.slice(4, 4 + rows.length).map((row) => row.slice(4, 4 + rows.length));
  expect(inner).toEqual(rows);
});

test("in a window with colours the code is dark on light", () => {
  const text = roomInvitation({ ...facts, colours: true });
  expect(text).toContain("\u001b[30;107m");
  expect(roomInvitation(facts)).not.toContain("\u001b");
});

test("the class code rides behind the #, which no browser sends to a server", () => {
  const address = new URL(joinAddress(facts.address, facts.classCode));
  expect([address.hash, address.pathname, address.search]).toEqual(["#K7MQ4XRT", "/", ""]);
});
