/** One fault that no single key shows: where, what was found there, and what is allowed. */
export interface ConfigFault {
  readonly path: (string | number)[];
  readonly found: string | number;
  readonly allowed: string;
}

/** A fault unless the value is one of the names. */
export function unless(names: readonly string[], path: (string | number)[], found: string): ConfigFault[] {
  // An empty list is a fault of its own.
  return names.length === 0 || names.includes(found)
    ? []
    : [{ path, found, allowed: `one of ${names.join(", ")}` }];
}

/** The second and later places of each value that is there more than once. */
export function twice<Value extends string | number>(
  values: readonly Value[],
  pathOf: (index: number) => (string | number)[],
  allowed: string,
): ConfigFault[] {
  return values.flatMap((found, index) =>
    values.indexOf(found) === index ? [] : [{ path: pathOf(index), found, allowed }],
  );
}
