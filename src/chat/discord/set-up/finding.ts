/** What a look over the set-up finds. */

/** One thing looked at. */
export interface Finding {
  readonly is: "right" | "note" | "wrong";
  /** What was found, and for what is wrong, where to mend it. */
  readonly sentence: string;
}

export const right = (sentence: string): Finding => ({ is: "right", sentence });
export const note = (sentence: string): Finding => ({ is: "note", sentence });
export const wrong = (sentence: string): Finding => ({ is: "wrong", sentence });
