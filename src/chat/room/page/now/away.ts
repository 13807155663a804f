/** Whether the page is connected; while it is not, what it shows is said to be of an earlier time. */
import { byId, setText } from "../draw/dom.js";
import { heard } from "../heard.js";
import { clockText, now, stopClock } from "../time/clock-words.js";

let connected = true;

/** Says at the top of the page that it is not connected, and stops the clock. */
export function showConnected(isConnected: boolean): void {
  connected = isConnected;
  if (!connected) stopClock();
  const since = heard.hello === null ? "" : ` This is as of ${clockText(now())}.`;
  sayAway(connected ? "" : `Not connected: trying again.${since} Nothing you asked is lost.`);
}

/** A line at the top of the page; hidden when it says nothing. */
export function sayAway(text: string): void {
  setText(byId("away"), text);
  byId("away").hidden = text === "";
}

/** "as of 18:41" while there is no connection; else empty. */
export function asOf(): string {
  return connected ? "" : `as of ${clockText(now())}`;
}
