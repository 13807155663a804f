/** Starts the page: comes in, connects, and hands each message to the part that shows it. */
import type { ServerMessage } from "../wire.js";
import { say } from "./answer-card.js";
import { answered, setLink } from "./ask.js";
import { asOf, sayAway, showConnected } from "./away.js";
import { Link } from "./connection.js";
import { showControls, showPass } from "./controls.js";
import { byId, setText } from "./dom.js";
import { askIn, type Entry } from "./door.js";
import { showFoot } from "./foot.js";
import { showFrames } from "./frames.js";
import { recall, remember } from "./keep.js";
import { addNotice, catchingUp, caughtUp, emptyLog } from "./log.js";
import { greeting, setHello } from "./me.js";
import { showOwn, tickNext } from "./next.js";
import { showOrder } from "./order.js";
import { setStatus, tickScope } from "./scope.js";
import { drawSky, setSky, setStars } from "./sky.js";
import { showBanner } from "./state-line.js";
import { startStrip, tickStrip } from "./strip.js";
import { clockText, dayText, forgetClock, now, otherZone, pace, setClock, setZone } from "./time.js";
import { startTyping } from "./typing.js";
import { showWallEntry, startWall, tickWall, wallNotice, wallOrder, wallSky } from "./wall.js";

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
  byId("tools").hidden = false;
  document.body.classList.toggle("on-wall", onWall);
  if (onWall) startWall();
  else {
    startTyping();
    startStrip();
  }
  connect();
  setInterval(tick, TICK_MS);
  setInterval(sky, SKY_MS);
}

function connect(): void {
  const link: Link = new Link({
    onMessage: (message) => show(message, handlers),
    onState: (connected) => {
      catchingUp();
      showConnected(connected);
    },
    onStranger: (farewell) => {
      remember("farewell", farewell);
      location.reload();
    },
  });
  const handlers = handlersFor(link);
  setLink(link);
  link.connect();
}

type Handlers = { readonly [T in ServerMessage["t"]]?: (message: Extract<ServerMessage, { t: T }>) => void };

function handlersFor(link: Link): Handlers {
  return {
    hello: (message) => greet(message, link),
    status: ({ clock, status }) => {
      setClock(clock);
      setStatus(status);
      if (!onWall) showBanner(byId("banner"));
      tick();
    },
    order: onWall ? wallOrder : showOrder,
    own: ({ requests, frames }) => {
      if (onWall) return;
      showOwn(requests);
      showFrames(frames);
    },
    sky: (message) => {
      setSky(message);
      sky();
    },
    stars: setStars,
    notice: ({ notice }) => (onWall ? wallNotice(notice) : addNotice(notice)),
    "caught-up": caughtUp,
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

function greet(hello: Extract<ServerMessage, { t: "hello" }>, link: Link): void {
  const known = recall("book");
  remember("book", hello.book);
  if (known !== null && known !== hello.book) {
    link.forgetSeen();
    emptyLog();
    forgetClock();
  }
  setZone(hello.site.timeZone);
  setClock(hello.clock);
  setHello(hello);
  byId("place").textContent = hello.site.name;
  showFoot(hello);
  if (onWall) showWallEntry();
  else showControls();
}

function tick(): void {
  setText(byId("clock"), clockWords());
  if (onWall) {
    tickWall();
    return;
  }
  tickNext();
  tickScope();
  tickStrip();
}

/** "Practice time Wed 25 Nov 18:41, up to 60 times faster than your watch · SIMULATED telescope" */
function clockWords(): string {
  const site = greeting()?.site;
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
  if (document.visibilityState !== "visible" || !greeting()) return;
  if (onWall) wallSky();
  else drawSky(byId("sky-body"));
}

/** Asks until the server answers: a phone may be quicker than its network. */
async function findEntry(): Promise<Entry> {
  for (;;) {
    try {
      const entry = (await (await fetch("/entry")).json()) as Entry;
      sayAway("");
      return entry;
    } catch {
      sayAway("Nightslate cannot be reached yet: trying again.");
      await new Promise((done) => setTimeout(done, 1_500));
    }
  }
}

/** Deep red keeps eyes adapted to the dark. */
function startLight(): void {
  const light = byId("light");
  const set = (red: boolean): void => {
    document.body.classList.toggle("red", red);
    light.setAttribute("aria-pressed", String(red));
    remember("light", red ? "red" : "");
  };
  set(recall("light") === "red");
  light.addEventListener("click", () => set(!document.body.classList.contains("red")));
}

void main();
