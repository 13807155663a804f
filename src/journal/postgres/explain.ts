/** What PostgreSQL's errors mean to the person who asked (https://www.postgresql.org/docs/15/errcodes-appendix.html). */
import { Refusal } from "../../base/refusal.js";
import type { Explain, StoreFault } from "../store.js";
import type { PostgresPlace } from "./place.js";

const AWAY = "the database does not answer; see that it runs and can be reached";

/** By how the code begins. */
const CAUSES: readonly (readonly [code: string, clause: string])[] = [
  ["NOT_CONNECTED", AWAY],
  ["ECONN", AWAY],
  ["ENOENT", AWAY],
  ["ENOTFOUND", "the database's host is not known; see to the store's address in the configuration"],
  ["ETIMEDOUT", AWAY],
  ["08", AWAY],
  ["57P", AWAY],
  ["POOLER", "a connection pooler stands before the database; name the database's own address"],
  ["53100", "the database's disk is full; free some space there"],
  ["53300", "the database takes no more connections; raise max_connections or close others"],
  ["25006", "the database is only for reading; name the primary server"],
  ["42501", "the database does not permit it; give the user rights on its tables"],
  ["28", "the database does not let this user in; see to PGPASSWORD and its access rules"],
  ["3D000", "there is no such database on the server; create it first"],
  ["55P03", "the database is busy with the same rows; wait a moment"],
  ["57014", "the database took too long; wait a moment"],
  ["XX001", "the database's files are damaged; restore them from a backup"],
  ["XX002", "the database's index is damaged; have it rebuilt (REINDEX)"],
];

export function explainPostgres({ url, journal }: PostgresPlace): Explain {
  const { host, pathname } = new URL(url);
  return {
    fault,
    unopened: (error) =>
      new Refusal(
        "journal-unreadable",
        `The journal ${journal} in the database ${pathname.slice(1)} on ${host || "this computer"} could not be opened: ${error === null ? "something in it is damaged; restore the database from a backup" : fault(error).clause}.`,
        { cause: error },
      ),
  };
}

function fault(error: unknown): StoreFault {
  const code = String((error as { code?: unknown } | null | undefined)?.code ?? "");
  if (code === "NOT_WRITER") return { kind: "deposed", clause: "another has become its writer" };
  if (code === "BROKEN_UNDER_WAY") return { kind: "unsure", clause: "the connection to the database broke" };
  const clause = CAUSES.find(([start]) => code.startsWith(start))?.[1];
  return {
    kind: code.startsWith("XX00") ? "damaged" : "refused",
    clause: clause ?? "the journal could not be written",
  };
}
