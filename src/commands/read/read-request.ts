/** Which request is meant: by number, and what to say when it is not clear. */
import type { Button } from "../../base/button.js";
import { listed } from "../../base/english.js";
import { Refusal } from "../../base/refusal.js";
import type { State } from "../../journal/state.js";
import type { Request } from "../../queue/request.js";
import type { Asker, Call, OptionSpec } from "../command.js";
import { Offer } from "../offer.js";
import { isMine } from "../people/people.js";
import { shortName } from "../words/target-words.js";

/** "12" or "#12", as typed. */
export const REQUEST_NUMBER = /^#?\s*(\d{1,9})$/;

/** "#12 M13". */
export function label(request: Request): string {
  return `#${request.number} ${shortName(request.target)}`;
}

/** Waiting or taken: still to come. */
export function isActive(request: Request): boolean {
  return request.state === "waiting" || request.state === "taken";
}

/** Every request the person asked or shares, in order of number. */
export function ownRequests(state: State, asker: Pick<Asker, "id">): Request[] {
  return [...state.requests.values()].filter((each) => isMine(each, asker.id));
}

/**
 * The number of a request that exists.
 * @throws {Refusal} codes "bad-request-number", "unknown-request"
 */
export function readRequestNumber(
  text: string,
  { ofOthers }: Pick<OptionSpec, "ofOthers">,
  { asker, command }: Call,
  state: State,
): number {
  const match = REQUEST_NUMBER.exec(text);
  if (!match) {
    throw new Refusal(
      "bad-request-number",
      `"${text.slice(0, 30)}" is no request number: type /${command} 12, for example. ${choices(state, asker)}`,
    );
  }
  const number = Number(match[1]);
  if (state.requests.has(number)) return number;
  const own = ofOthers ? [] : ownRequests(state, asker).filter(isActive);
  const help = own.length === 0 ? "; /queue shows the numbers." : `. ${waitingWords(own)}`;
  throw new Refusal("unknown-request", `There is no request #${number}${help}`);
}

/** The request with a number that `readRequestNumber` accepted. */
export function requestOf(state: State, number: number): Request {
  const request = state.requests.get(number);
  if (request) return request;
  throw new Refusal("unknown-request", `There is no request #${number}. Type /mine to see yours.`);
}

/** What to say when a command needs a request and none was named. */
export function whichRequest(command: string, spec: OptionSpec, asker: Asker, state: State): Refusal {
  const own = ownRequests(state, asker).filter((each) =>
    spec.offer === "all-active" ? isActive(each) : each.state === "waiting",
  );
  const first = own[0];
  if (!first) {
    const sentence =
      spec.offer === "own-waiting"
        ? "You have no request waiting. Ask for one with /request M13."
        : `Say which request: type, for example, /${command} 12. /queue shows the numbers.`;
    return new Refusal("which-request", sentence);
  }
  const actions: Button[] = own.slice(0, 5).map((each) => ({
    command,
    options: { [spec.name]: each.number },
    label: `${command} #${each.number}`,
    onlyFor: asker.id,
  }));
  const sentence = `Which request? ${waitingWords(own)} Type /${command} ${first.number}, for example.`;
  return new Offer("which-request", [[sentence]], actions);
}

function choices(state: State, asker: Asker): string {
  const own = ownRequests(state, asker).filter(isActive);
  return own.length === 0 ? "You have none waiting; /queue shows the others." : waitingWords(own);
}

function waitingWords(own: readonly Request[]): string {
  const shown = own.slice(0, 5).map(label);
  const more = own.length > 5 ? [`${own.length - 5} more`] : [];
  return `Yours: ${listed([...shown, ...more])}.`;
}
