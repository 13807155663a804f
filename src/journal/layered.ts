/** Maps and sets that differ from another without copying it: what would be, laid over what is. */

/** A map that can be changed by the fold: a native Map, or a layer over one. */
export interface MapLike<K, V> extends ReadonlyMap<K, V> {
  set(key: K, value: V): unknown;
  delete(key: K): boolean;
}

/** A set that can be changed by the fold: a native Set, or a layer over one. */
export interface SetLike<V> extends ReadonlySet<V> {
  add(value: V): unknown;
  delete(value: V): boolean;
}

/** Changes over an unchanging base. Iterates as a native Map with the same history would. */
export class LayeredMap<K, V> implements MapLike<K, V> {
  /** New values of keys that keep their place in the base. */
  private readonly changed = new Map<K, V>();
  /** Keys that come after the base's, among them those deleted and set again. */
  private readonly added = new Map<K, V>();
  private readonly gone = new Set<K>();

  constructor(private readonly base: ReadonlyMap<K, V>) {}

  get size(): number {
    return this.base.size - this.gone.size + this.added.size;
  }

  has(key: K): boolean {
    return this.added.has(key) || this.inBase(key);
  }

  get(key: K): V | undefined {
    if (this.added.has(key)) return this.added.get(key);
    if (this.changed.has(key)) return this.changed.get(key);
    return this.gone.has(key) ? undefined : this.base.get(key);
  }

  set(key: K, value: V): this {
    (this.inBase(key) ? this.changed : this.added).set(key, value);
    return this;
  }

  delete(key: K): boolean {
    if (this.added.delete(key)) return true;
    if (!this.inBase(key)) return false;
    this.changed.delete(key);
    this.gone.add(key);
    return true;
  }

  *entries(): Generator<[K, V], undefined> {
    for (const [key, value] of this.base) {
      if (!this.gone.has(key)) yield [key, this.changed.has(key) ? (this.changed.get(key) as V) : value];
    }
    yield* this.added.entries();
    return undefined;
  }

  *keys(): Generator<K, undefined> {
    for (const [key] of this.entries()) yield key;
    return undefined;
  }

  *values(): Generator<V, undefined> {
    for (const [, value] of this.entries()) yield value;
    return undefined;
  }

  [Symbol.iterator](): Generator<[K, V], undefined> {
    return this.entries();
  }

  forEach(action: (value: V, key: K, map: ReadonlyMap<K, V>) => void): void {
    for (const [key, value] of this.entries()) action(value, key, this);
  }

  private inBase(key: K): boolean {
    return this.base.has(key) && !this.gone.has(key);
  }
}

/** The same for a set. */
export class LayeredSet<V> implements SetLike<V> {
  private readonly added = new Set<V>();
  private readonly gone = new Set<V>();

  constructor(private readonly base: ReadonlySet<V>) {}

  get size(): number {
    return this.base.size - this.gone.size + this.added.size;
  }

  has(value: V): boolean {
    return this.added.has(value) || this.inBase(value);
  }

  add(value: V): this {
    if (!this.inBase(value)) this.added.add(value);
    return this;
  }

  delete(value: V): boolean {
    if (this.added.delete(value)) return true;
    if (!this.inBase(value)) return false;
    this.gone.add(value);
    return true;
  }

  *values(): Generator<V, undefined> {
    for (const value of this.base) if (!this.gone.has(value)) yield value;
    yield* this.added;
    return undefined;
  }

  keys(): Generator<V, undefined> {
    return this.values();
  }

  *entries(): Generator<[V, V], undefined> {
    for (const value of this.values()) yield [value, value];
    return undefined;
  }

  [Symbol.iterator](): Generator<V, undefined> {
    return this.values();
  }

  forEach(action: (value: V, again: V, set: ReadonlySet<V>) => void): void {
    for (const value of this.values()) action(value, value, this);
  }

  private inBase(value: V): boolean {
    return this.base.has(value) && !this.gone.has(value);
  }
}
