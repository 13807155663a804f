/** A journal in a PostgreSQL database: its session, its office, what its errors mean. */
import { noRescue, type OpenedStore } from "../store.js";
import { explainPostgres } from "./explain.js";
import { PostgresOffice } from "./office.js";
import type { PostgresPlace } from "./place.js";
import { PostgresStore } from "./postgres-store.js";
import { PostgresSession } from "./session.js";

/** The journal in a database, which is asked first when its lock is taken or it is connected. */
export function openPostgres(place: PostgresPlace): OpenedStore {
  const session: PostgresSession = new PostgresSession(place.url, () => office.disconnected());
  const store = new PostgresStore(session, place.journal);
  const office = new PostgresOffice(session, store, place.journal);
  const explain = explainPostgres(place);
  return {
    store,
    lock: office,
    explain,
    // Nothing outside the database knows how far it came, and mending it is the server's own business.
    rescue: noRescue(explain),
  };
}
