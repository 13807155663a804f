/** A wish that cannot be granted: one clear sentence for the person, never a stack trace. */

/** Thrown by parsing, checking and deciding; `message` says what was wrong and what to type instead. */
export class Refusal extends Error {
  /**
   * @param code stable name of the kind of refusal, for tests and logs (kebab-case)
   * @param message the sentence the person reads
   */
  constructor(
    readonly code: string,
    message: string,
    options?: ErrorOptions,
  ) {
    super(message, options);
    this.name = "Refusal";
  }
}
