/** A command as data, and what a thumb can do about something. */

/** Option values by name, not yet read: strings from text, strings or numbers from a form. */
export type RawOptions = Readonly<Record<string, string | number | undefined>>;

/** A command with its options; it becomes a line only where a person reads or types it. */
export interface Invocation {
  /** Without the slash. */
  readonly command: string;
  readonly options: RawOptions;
}

/** A button, or its equivalent: pressing it runs the command as the person who pressed. */
export interface Button extends Invocation {
  /** Two or three words. */
  readonly label: string;
  /** The only person who may press it; null for anyone. */
  readonly onlyFor: string | null;
  /** Number of the request it is about: told on its label where others stand beside it. */
  readonly about?: number;
}

/**
 * A button that types a command.
 * @param onlyFor who may press it; null for anyone
 */
export function button(
  label: string,
  command: string,
  options: Button["options"],
  onlyFor: Button["onlyFor"],
): Button {
  return { command, options, label, onlyFor };
}
