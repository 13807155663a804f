/** Questions in plain words, for people who do not think in slash commands. */
import type { Invocation } from "../../base/button.js";
import type { CommandSpec } from "../command.js";

type Saying = readonly [pattern: RegExp, command: string];

/** First match wins; a number in the words ("#12") goes to the command's request option. */
const SAYINGS: readonly Saying[] = [
  [
    /^(please )?(cancel|withdraw|delete|remove|drop|take back) (mine|it|my (request|turn|frame)s?)\b/,
    "withdraw",
  ],
  [/^(please )?(delete|remove|drop|take back) (request )?#?\d+( please)?$/, "withdraw"],
  [
    /^(why|how come|what happened)\b.*\b(black|dark|empty|blank|blurr?(y|ed)|bad|fail(ed)?|frames?|pictures?|images?|photos?)\b/,
    "mine",
  ],
  [/^(why|how come)\b/, "why"],
  [
    /^(so )?(when|whens|when's|what time|at what time) (?!(can|could) (i|we) (see|find|observe) (?!it\b|mine\b|my\b|ours?\b)).*\b(mine|my|i|we|it|run|turn|#?\d+)\b/,
    "when",
  ],
  [/^how (long|much longer|soon|late)\b(?!.*\bexpos)/, "when"],
  [
    /^(what|where)('s| is|s)? (am i|my|is my|are my|place|position|turn)\b.*(queue|line|place|turn|position|request|list)/,
    "when",
  ],
  [/^where am i\b/, "when"],
  [/^(am i|is it my|is mine|are we) (next|up|on|turn|soon)/, "when"],
  [/^what('s|s| is| are)? (up|visible|worth|good|there|on)\b/, "tonight"],
  [
    /^what (can|could|should) (i|we) (see|look at|ask for|observe|request|take|photograph|image)\b/,
    "tonight",
  ],
  [/^(is it|how|what)('s| is)? ?(the )?(dark|sky|weather|conditions)\b/, "tonight"],
  [/^(who|what)('s|s| is| comes)? (is )?(next|first|in the queue|waiting|running)\b/, "queue"],
  [/^(can|could|may) (i|we) (see|look at) the (queue|line|list|order)$/, "queue"],
  [/^(show |see |list )(me )?(the )?(queue|line|list|order)$/, "queue"],
  [
    /^(how many|who else|is anyone|is anybody|who)\b.*\b(waiting|ahead|before me|in (the )?(line|queue))\b/,
    "queue",
  ],
  [
    /^((show|see|list|get|where (is|are)|(can|could|may) (i|we) (see|have|get)|i (want|need)) )?(me )?my (last |latest )?(requests?|frames?|pictures?|images?|photos?)$/,
    "mine",
  ],
  [/^(is|did|has|have) (it|mine|my .*)( been)? (done|ready|finished|taken|work(ed)?)( yet)?$/, "mine"],
  [/^(is|will) (it|the sky|tonight)( be)? (dark|clear|cloudy|raining)\b/, "tonight"],
  [/^what (have|did) i (ask|asked|request|requested)\b/, "mine"],
  [/^(can|could|may) (i|we) (cancel|withdraw|take back)( it| mine| my request)?$/, "withdraw"],
  [/^how many (frames|pictures|images|photos)\b.*\b(i|we|my|mine)\b/, "mine"],
  [
    /^((can you )?(recommend|suggest) (something|anything|me something)|surprise (me|us)|(any|some)thing (bright|good|nice|cool|easy|up|worth)|any (ideas?|suggestions?|tips?|recommendations?)|what is a good target|what are good targets)\b/,
    "tonight",
  ],
  [/^(status|state)( please)?$|^(what|where)('s|s| is) the (telescope|dome|camera)\b/, "telescope"],
  [/^who('s|s| is| has)? (using|on|got|at) (the )?(telescope|scope|it)\b/, "telescope"],
  [/^is the (telescope|dome|camera)\b/, "telescope"],
  [
    /^(what (can|do) i (do|type|say)|how do i|how does this|help me|can you (hear|read|help)( me)?$)\b/,
    "help",
  ],
  [/^(hello|hi|hey)( there| bot| everyone| all)?$/, "help"],
];

/** What is asked of one target: the words after the pattern are its name, with filter, seconds and frames. */
const DO =
  "(have|get|see|observe|take|request|photograph|image|shoot|capture|do|look at|point (the telescope )?(at|to)|ask for|try)";
const WISHES: readonly Saying[] = [
  [
    new RegExp(`^(can|could|may|might|would) (i|we|you|someone|somebody|it be possible to) (please )?${DO} `),
    "request",
  ],
  [new RegExp(`^(is|would) it (be )?possible to ${DO} `), "request"],
  [new RegExp(`^(i|we)('?d| would)? (want|wanna|like|love|wish|need)( to)?( ${DO})? `), "request"],
  [new RegExp(`^let('s|s| us| me) ${DO} `), "request"],
  [/^(queue up|book|schedule|order|add|grab|snap) /, "request"],
  [new RegExp(`^${DO} (?!me )`), "request"],
  [
    /^(when|where|how (high|bright|big|far|large))('s|s| is| are| does| do| will| can i find| can we find)? /,
    "target",
  ],
  [/^(when|where) (can|could) (i|we) (see|find|observe) /, "target"],
  [/^is (?=.* (up|visible|high enough|observable)( now| tonight| yet| tomorrow)?$)/, "target"],
  [/^(tell me about|what('s|s| is| does)) (?=(the )?(m|ngc|ic|c) ?\d)/, "target"],
  [/^(tell me about|show me|info(rmation)? (on|about)) /, "target"],
];

/** Greetings and politeness before a sentence. */
const BEFORE =
  /^((hi|hello|hey|hiya|ok|okay|so|well|um|dear (bot|telescope)|good (evening|morning|night)|please|pls|plz|kindly)[ ,]+)+(?=.)/;

/** The command that plain words stand for; null when they are none that is known. */
export function readPlainWords(line: string, table: readonly CommandSpec[]): Invocation | null {
  const words = line
    .toLowerCase()
    .replace(/[’`]/g, "'")
    .replace(/[?!;]+|[.,]+(?!\d)/g, " ")
    .replace(/\s+/g, " ")
    .trim()
    .replace(BEFORE, "")
    .replace(/(?<=.)( (please|pls|plz|thanks|thank you|thx))+$/, "");
  const saying = SAYINGS.find(([pattern]) => pattern.test(words));
  const command = table.find((each) => each.name === saying?.[1]);
  if (!command) return readWish(words, table);
  const number = /#?\b(\d{1,6})\b/.exec(words)?.[1];
  const request = command.options.find((each) => each.kind === "request");
  return { command: command.name, options: request && number ? { [request.name]: number } : {} };
}

/** "observe m31", "can i have the ring nebula in r"; null where nothing is left to be a name. */
function readWish(words: string, table: readonly CommandSpec[]): Invocation | null {
  const saying = WISHES.find(([pattern]) => pattern.test(words));
  const command = table.find((each) => each.name === saying?.[1]);
  const target = command?.options.find((each) => each.kind === "target");
  if (!saying || !command || !target) return null;
  const name = words.replace(saying[0], "").trim();
  return name === "" ? null : { command: command.name, options: { [target.name]: name } };
}
