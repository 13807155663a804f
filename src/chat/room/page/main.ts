/** Starts the page: comes in, connects, and hands each message to the part that shows it. */
import type { ServerMessage, WireDoor } from "../wire.js";
import { ageAnswer, say } from "./ask/answer-card.js";
import { showControls, showPass } from "./ask/controls.js";
import { showHand, showStop, startStop } from "./ask/hand.js";
import { answered, setConnection } from "./ask/to-server.js";
import { startTyping } from "./ask/typing.js";
import { Connection } from "./connection.js";
import { byId, setText } from "./draw/dom.js";
import { showFrames } from "./draw/frames.js";
import { heard } from "./heard.js";
import { recall, remember } from "./keep.js";
import { asOf, sayAway, showConnected } from "./now/away.js";
import { addNotice, emptyLog, readAloud } from "./now/log.js";
import { addNews, emptyNews } from "./now/news.js";
import { drawNext } from "./now/next.js";
import { showOrder } from "./now/order.js";
import { drawScope } from "./now/scope.js";
import { startSignals } from "./now/signals.js";
import { showState } from "./now/state-line.js";
import { drawStrip, startStrip } from "./now/strip.js";
import { showWallEntry, startWall, tickWall, wallNotice, wallOrder } from "./now/wall.js";
import { askIn } from "./people/door.js";
import { showFoot } from "./people/foot.js";
import { startLight } from "./people/light.js";
import { drawSky } from "./sky/dome.js";
import {
  clockText,
  dayText,
  forgetClock,
  now,
  otherZone,
  pace,
  setClock,
  setZone,
} from "./time/clock-words.js";

const onWall = location.pathname === "/wall" || new URLSearchParams(location.search).has("wall");
const TICK_MS = 250;
const SKY_MS = 1_000;

async function main(): Promise<void> {
  startLight();
  const isMember = document.documentElement.dataset.member !== undefined;
  const entry = isMember ? null : await findEntry();
  if (entry?.me === null) {
    await askIn(entry);
    byId("place").focus();
  }
  byId(onWall ? "wall" : "desk").hidden = false;
  byId("wall-link").hidden = false;
  document.body.classList.toggle("on-wall", onWall);
  if (onWall) startWall();
  else {
    startTyping();
    startStrip();
    startStop();
    startSignals();
  }
  connect();
  setInterval(tick, TICK_MS);
  setInterval(sky, SKY_MS);
}

function connect(): void {
  const connection: Connection = new Connection({
    onMessage: (message, isNew) => {
      if (message.t === "notice" && !onWall) addNews(message.notice, isNew);
      show(message, handlers);
    },
    onState: (connected) => {
      readAloud(false);
      showConnected(connected);
    },
    onStranger: (farewell) => {
      remember("farewell", farewell);
      location.reload();
    },
  });
  const handlers = handlersFor(connection);
  setConnection(connection);
  connection.connect();
}

type Handlers = { readonly [T in ServerMessage["t"]]?: (message: Extract<ServerMessage, { t: T }>) => void };

function handlersFor(connection: Connection): Handlers {
  return {
    hello: (message) => greet(message, connection),
    status: ({ clock, status }) => {
      setClock(clock);
      heard.status = status;
      if (!onWall) showState("banner");
      tick();
    },
    hand: ({ hand }) => {
      if (!onWall) showHand(hand);
    },
    order: onWall ? wallOrder : showOrder,
    own: ({ requests, frames }) => {
      if (onWall) return;
      heard.own = requests;
      drawNext();
      ageAnswer();
      showFrames(frames);
    },
    sky: (message) => {
      heard.sky = message;
      sky();
    },
    stars: (message) => {
      heard.stars = message;
    },
    notice: ({ notice }) => (onWall ? wallNotice(notice) : addNotice(notice)),
    "caught-up": () => readAloud(true),
    pass: ({ role, pass }) => showPass(role, pass),
    trouble: ({ text }) => say(text),
    reply: answered,
    suggestions: answered,
  };
}

function show(message: ServerMessage, handlers: Handlers): void {
  const handle = handlers[message.t] as ((message: ServerMessage) => void) | undefined;
  handle?.(message);
}

function greet(hello: Extract<ServerMessage, { t: "hello" }>, connection: Connection): void {
  const known = recall("book");
  remember("book", hello.book);
  if (known !== null && known !== hello.book) {
    connection.forgetSeen();
    emptyLog();
    emptyNews();
    forgetClock();
  }
  setZone(hello.site.timeZone);
  setClock(hello.clock);
  heard.hello = hello;
  byId("place").textContent = hello.site.name;
  showFoot(hello);
  if (onWall) showWallEntry(hello.entry);
  else {
    showControls(hello);
    showStop(hello);
  }
}

function tick(): void {
  setText(byId("clock"), clockWords());
  if (onWall) {
    tickWall();
    return;
  }
  drawNext();
  drawScope("scope-body");
  drawStrip();
}

/** "Practice time Wed 25 Nov 18:41, up to 60 times faster than your watch · SIMULATED telescope" */
function clockWords(): string {
  const site = heard.hello?.site;
  if (!site) return "";
  const { most } = pace();
  const zone = otherZone() === "" ? "" : ` (${otherZone()})`;
  const words = [
    `${site.clockName === null ? "" : `${site.clockName} `}${dayText(now())} ${clockText(now())}${zone}`,
    site.clockName !== null && most > 1 ? `up to ${most} times faster than your watch` : "",
    asOf() === "" ? "" : "stopped: not connected",
  ];
  return words.filter(Boolean).join(", ") + (site.simulated ? " · SIMULATED telescope" : "");
}

function sky(): void {
  if (document.visibilityState === "visible") drawSky(onWall ? "wall-sky" : "sky-body");
}

/** Asks until the server answers: a phone may be quicker than its network. */
async function findEntry(): Promise<WireDoor> {
  for (;;) {
    try {
      const entry = (await (await fetch("/entry")).json()) as WireDoor;
      sayAway("");
      return entry;
    } catch {
      sayAway("Nightslate cannot be reached yet: trying again.");
      await new Promise((done) => setTimeout(done, 1_500));
    }
  }
}

void main();
