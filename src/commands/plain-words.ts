/** Questions in plain words, for people who do not think in slash commands. */
import type { CommandSpec, ParsedLine } from "./command.js";

interface Saying {
  readonly pattern: RegExp;
  readonly command: string;
}

/** First match wins; a number in the words ("#12") goes to the command's request option. */
const SAYINGS: readonly Saying[] = [
  {
    pattern:
      /^(please )?(cancel|withdraw|delete|remove|drop|take back) (mine|it|my (request|turn|frame)s?)\b/,
    command: "withdraw",
  },
  { pattern: /^(please )?(delete|remove|drop|take back) (request )?#?\d+( please)?$/, command: "withdraw" },
  { pattern: /^why\b/, command: "why" },
  { pattern: /^(so )?(when|what time|at what time) .*\b(mine|my|i|we|it|run|turn|#?\d+)\b/, command: "when" },
  { pattern: /^how (long|much longer|soon|late)\b/, command: "when" },
  {
    pattern:
      /^(what|where)('s| is|s)? (am i|my|is my|are my|place|position|turn)\b.*(queue|line|place|turn|position|request|list)/,
    command: "when",
  },
  { pattern: /^where am i\b/, command: "when" },
  { pattern: /^(am i|is it my|is mine|are we) (next|up|on|turn|soon)/, command: "when" },
  { pattern: /^what('s|s| is| are)? (up|visible|worth|good|there|on)\b/, command: "tonight" },
  {
    pattern: /^what (can|could|should) (i|we) (see|look at|ask for|observe|request|take|photograph|image)\b/,
    command: "tonight",
  },
  { pattern: /^(is it|how|what)('s| is)? ?(the )?(dark|sky|weather|conditions)\b/, command: "tonight" },
  {
    pattern: /^(who|what)('s|s| is| comes)? (is )?(next|first|in the queue|waiting|running)\b/,
    command: "queue",
  },
  { pattern: /^(show |see |list )(me )?(the )?(queue|line|list|order)$/, command: "queue" },
  { pattern: /^(show |see |list )?(me )?my (requests?|frames?|pictures?|images?)$/, command: "mine" },
  { pattern: /^what (have|did) i (ask|asked|request|requested)\b/, command: "mine" },
  { pattern: /^(what|where)('s|s| is) the (telescope|dome|camera)\b/, command: "telescope" },
  { pattern: /^(what (can|do) i (do|type|say)|how do i|how does this|help me|hello|hi)\b/, command: "help" },
];

/** The command that plain words stand for; null when they are none that is known. */
export function readPlainWords(line: string, table: readonly CommandSpec[]): ParsedLine | null {
  const words = line
    .toLowerCase()
    .replace(/[’`]/g, "'")
    .replace(/[?!.,;]+/g, " ")
    .replace(/\s+/g, " ")
    .trim();
  const saying = SAYINGS.find((each) => each.pattern.test(words));
  const command = table.find((each) => each.name === saying?.command);
  if (!command) return null;
  const number = /#?\b(\d{1,6})\b/.exec(words)?.[1];
  const request = command.options.find((each) => each.kind === "request");
  return { command: command.name, options: request && number ? { [request.name]: number } : {} };
}
