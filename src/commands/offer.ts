/** A refusal that also hands over what would work: a sentence with times in it, and buttons. */
import type { Button } from "../base/button.js";
import { type Phrase, renderPhrase } from "../base/phrase.js";
import { Refusal } from "../base/refusal.js";

/** Thrown like a Refusal; the dispatcher shows `lines` and `actions` instead of the bare message. */
export class Offer extends Refusal {
  readonly lines: readonly Phrase[];
  readonly actions: readonly Button[];

  /** The first line is the sentence that says what was wrong and what to do instead. */
  constructor(code: string, lines: readonly Phrase[], actions: readonly Button[] = []) {
    super(code, lines.map(plain).join(" "));
    this.lines = lines;
    this.actions = actions;
  }
}

/** For logs only: times as ISO instants, people unnamed. */
function plain(phrase: Phrase): string {
  return renderPhrase(phrase, {
    text: (text) => text,
    time: (part) => new Date(part.timeUnixMs).toISOString(),
    person: () => "a person",
    strong: (text) => text,
  });
}
