/** Remembering the results of a pure function, within bounds. */

/**
 * A version of `make` that remembers its latest `limit` results by key.
 * The oldest result makes room for a new one.
 */
export function remembering<Key, Value>(limit: number, make: (key: Key) => Value): (key: Key) => Value {
  const known = new Map<Key, Value>();
  return (key) => {
    const found = known.get(key);
    if (found !== undefined) return found;
    const made = make(key);
    if (known.size >= limit) known.delete(known.keys().next().value as Key);
    known.set(key, made);
    return made;
  };
}
