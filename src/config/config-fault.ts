/** One fault that no single key shows: where, what was found there, and what is allowed. */
export interface ConfigFault {
  readonly path: (string | number)[];
  readonly found: string | number;
  readonly allowed: string;
}
