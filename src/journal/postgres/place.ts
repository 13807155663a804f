/** Where a database is, and which telescope's journal in it is meant. */
import { Refusal } from "../../base/refusal.js";

export interface PostgresPlace {
  /** Without what is only ours, and without a password: that comes from PGPASSWORD or the file PGPASSFILE. */
  readonly url: string;
  /** The journal's name: several telescopes keep theirs in one database. */
  readonly journal: string;
}

const NAME = /^[a-z0-9][a-z0-9-]{0,62}$/;

/**
 * Reads `postgres://user@host:5432/database?journal=name&sslrootcert=file`.
 * @param siteName names the journal when the address does not
 * @throws {Refusal} code "store-address"
 */
export function readPostgresPlace(text: string, siteName: string): PostgresPlace {
  const url = addressOf(text);
  if (url.password !== "") {
    throw wrong(
      "takes no password: put it into the environment as PGPASSWORD, or into a file named by PGPASSFILE",
    );
  }
  if (url.searchParams.get("sslmode") === "disable" && url.searchParams.has("sslrootcert")) {
    throw wrong("names a certificate and switches TLS off: leave out sslmode=disable or sslrootcert");
  }
  const journal = url.searchParams.get("journal") ?? slug(siteName);
  url.searchParams.delete("journal");
  if (!NAME.test(journal))
    throw wrong("has a journal's name of other than lower-case letters, digits and dashes");
  return { url: url.href, journal };
}

function addressOf(text: string): URL {
  const url = URL.canParse(text) ? new URL(text) : null;
  const complete = url && ["postgres:", "postgresql:"].includes(url.protocol) && url.pathname.length > 1;
  if (!complete) throw wrong("is no database's address: write postgres://user@host/database");
  return url;
}

/** "Tern Hollow Observatory" → "tern-hollow-observatory". */
function slug(name: string): string {
  const plain = name
    .normalize("NFKD")
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-");
  return plain.replace(/^-+/, "").slice(0, 63).replace(/-+$/, "") || "telescope";
}

function wrong(what: string): Refusal {
  return new Refusal("store-address", `The configuration's store ${what}.`);
}
