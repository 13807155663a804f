/** Stands by: keeps the state up to what another writes, ready to go on from it as soon as that one's office is free. */
import { Refusal } from "../base/refusal.js";
import { applyEntry } from "./fold.js";
import { Journal } from "./journal.js";
import { entryIdOf } from "./keys.js";
import { type Loaded, loadState } from "./load.js";
import type { OpenedStore } from "./store.js";

/** How often the office is asked for, milliseconds: so long can a takeover be late. */
const ASK_MS = 250;

export interface StandbyParts {
  /** @throws {Refusal} code "in-use" while another has the office */
  readonly take: () => Promise<void>;
  /** Called once, when there is somebody to wait for, with who that is in one clause. */
  readonly waiting: (who: string) => void;
}

/**
 * The state after the journal's last entry, once the office is this process's own; null when the journal is damaged.
 * @throws {Refusal} code "no-standby" for a store that cannot be followed; what `take` throws at its first try, but "in-use"
 */
export async function standBy(
  opened: OpenedStore,
  { take, waiting }: StandbyParts,
): Promise<{ readonly journal: Journal; readonly loaded: Loaded } | null> {
  const journal = new Journal(opened);
  let loaded: Loaded | null = null;
  let behind = true;
  if (!opened.store.follow) {
    throw new Refusal(
      "no-standby",
      "--standby needs a journal in a database: name one in the configuration, as store: postgres://user@host/database.",
    );
  }
  await opened.store.follow(() => {
    behind = true;
  });
  for (let told = false; ; await pause()) {
    const refusal = await take().then(
      () => null,
      (error: Error & { code?: string; cause?: Error }) => error,
    );
    if (refusal === null) break;
    if (!told && refusal.code !== "in-use") throw refusal;
    if (!told) waiting(refusal.cause?.message ?? refusal.message);
    told = true;
    // A database that is away for a while is asked again; what was read so far stays good.
    if (refusal.code !== "in-use") behind = true;
    else if (behind) {
      behind = false;
      loaded = await following(journal, loaded).catch(() => loaded);
    }
  }
  // From here on nothing of the earlier writer can arrive.
  loaded = await following(journal, loaded);
  return loaded && { journal, loaded };
}

/** Takes up what was written since; from the beginning where that does not follow on. */
async function following(journal: Journal, known: Loaded | null): Promise<Loaded | null> {
  if (!known) return loadState(journal, 0);
  const { draft } = known;
  const lastId = (await journal.entryKeys(draft.lastEntryId + 1)).map(entryIdOf).at(-1) ?? draft.lastEntryId;
  for await (const { entry } of journal.entries(draft.lastEntryId + 1, lastId)) {
    if (!entry) return loadState(journal, 0);
    applyEntry(draft, entry);
  }
  return known;
}

function pause(): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ASK_MS));
}
