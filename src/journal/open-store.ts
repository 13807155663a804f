/** The kinds of store there are. A database is loaded only when it is named. */
import { type MemoryMedium, openMemory } from "./memory/memory-store.js";
import { type PostgresPlace, readPostgresPlace } from "./postgres/place.js";
import type { OpenedStore } from "./store.js";

export type StoreConfig =
  | { readonly kind: "sqlite" /** The data folder; made when it is missing. */; readonly folder: string }
  | ({ readonly kind: "postgres" } & PostgresPlace)
  | { readonly kind: "memory"; readonly medium: MemoryMedium };

/**
 * What a person names: a database's address, or a folder.
 * @param siteName names the journal in a database whose address does not
 * @throws {Refusal} code "store-address"
 */
export function storeAt(place: string, siteName: string): StoreConfig {
  if (!place.includes("://")) return { kind: "sqlite", folder: place };
  return { kind: "postgres", ...readPostgresPlace(place, siteName) };
}

/** A store as configured. It is not connected, and nothing has been touched, until its lock is taken. */
export async function openStore(config: StoreConfig): Promise<OpenedStore> {
  if (config.kind === "memory") return openMemory(config.medium);
  if (config.kind === "postgres") return (await import("./postgres/open.js")).openPostgres(config);
  return (await import("./sqlite/open.js")).openSqlite(config.folder);
}
