/** Remembering the results of a pure function, within bounds. */

/**
 * A version of `make` that remembers its latest `limit` results by key.
 * The oldest result makes room for a new one.
 */
export function remembering<Key, Value>(limit: number, make: (key: Key) => Value): (key: Key) => Value {
  const known = new Map<Key, Value>();
  // Mostly the same key again: cheaper to compare than to look up.
  let lastKey: Key | undefined;
  let lastValue: Value | undefined;
  return (key) => {
    if (key === lastKey && lastValue !== undefined) return lastValue;
    let value = known.get(key);
    if (value === undefined) {
      value = make(key);
      if (known.size >= limit) known.delete(known.keys().next().value as Key);
      known.set(key, value);
    }
    lastKey = key;
    lastValue = value;
    return value;
  };
}
