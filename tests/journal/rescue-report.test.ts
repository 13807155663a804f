/** What an operator is told after damage: what is gone, what may be, and where the damaged file is. */
import { expect, test } from "vitest";
import { emptyState } from "../../src/journal/draft.js";
import type { Loaded } from "../../src/journal/load.js";
import { rescueReport } from "../../src/journal/rescue-report.js";

const mended = (...lostIds: number[]) => ({
  what: "file",
  keptAs: "journal.db.damaged",
  soundEntries: 41,
  lostIds,
});

/** @param known numbers of the requests that are still there, of those up to `given` */
function loaded(given: number, known: readonly number[], passedOver = 0): Loaded {
  const draft = emptyState();
  draft.nextNumber = given + 1;
  for (const number of known) draft.requests.set(number, {} as never);
  return { draft, snapshotId: 0, passedOver };
}

test("where every entry could be read, only the structure is spoken of", () => {
  expect(rescueReport(mended(), loaded(2, [1, 2]))).toBe(
    "The journal file was mended: its structure was damaged, but every entry could be read; 41 sound entries are in use, and the damaged file is kept as journal.db.damaged.",
  );
});

test.each([
  [[7], 0, "entry 7 could not be read; 41"],
  [[3, 4, 5, 9], 0, "entries 3 to 5 and 9 could not be read; 41"],
  [[7], 1, "entry 7 could not be read (1 later event that depended on it was passed over); 41"],
  [[7, 8], 2, "entries 7 to 8 could not be read (2 later events that depended on them were passed over); 41"],
])("entries %j are named, and %i that followed from them counted", (lost, passedOver, words) => {
  expect(rescueReport(mended(...lost), loaded(0, [], passedOver))).toContain(words);
});

test("requests that may have gone with it are named by number, so that they are asked for again", () => {
  expect(rescueReport(mended(7), loaded(3, [1, 3]))).toMatch(
    /damaged\. Request #2 may have been lost with it: whoever was told this number should ask again\.$/,
  );
  expect(rescueReport(mended(7), loaded(6, [1, 6]))).toMatch(
    /damaged\. Requests #2 to #5 may have been lost with it: whoever was told one of these numbers should ask again\.$/,
  );
  expect(rescueReport(mended(7), loaded(3, [1, 2, 3]))).not.toContain("may have been lost");
});
