/** What a thumb can do about something. */

/** A button, or its equivalent: pressing it runs a command as the person who pressed. */
export interface Action {
  /** Command line to run, such as "/withdraw 12" or "/join 12". */
  readonly command: string;
  /** Two or three words. */
  readonly label: string;
  /** The only person who may press it; null for anyone. */
  readonly onlyFor: string | null;
}
