/** How this device calls its reader when there is news: a short sound, a buzz, a message of the browser's own. */
import { html, nothing } from "lit-html";
import type { WireNotice } from "../../wire.js";
import { draw } from "../draw/dom.js";
import { lineText } from "../draw/lines.js";
import { recall, remember } from "../keep.js";

type Way = "sound" | "buzz" | "pop-up";

const [PITCH_HZ, LENGTH_SECONDS, LOUDNESS] = [660, 0.18, 0.15];
const BUZZ_MS = 200;

let audio: AudioContext | null = null;

const wants = (way: Way): boolean => recall(way) === "on";
/** A browser lets a page sound only after a press, and forgets that at a reload. */
const mayNotSoundYet = (): boolean => audio?.state !== "running";

/** Draws what can be chosen here, and arms what was chosen before at the first press. */
export function startSignals(): void {
  document.addEventListener("pointerdown", () => {
    if (wants("sound")) void arm();
  });
  show();
}

/** Calls the reader in the ways that were chosen. */
export function signal({ title, lines }: WireNotice): void {
  if (wants("sound") && audio?.state === "running") beep(audio);
  if (wants("buzz") && canBuzz()) navigator.vibrate(BUZZ_MS);
  if (wants("pop-up") && canPopUp() && Notification.permission === "granted" && document.hidden) {
    new Notification(title, { body: lines.slice(0, 2).map(lineText).join("\n") });
  }
}

function canBuzz(): boolean {
  return "vibrate" in navigator && matchMedia("(pointer: coarse)").matches;
}

/** Only on this computer, or where the page came over TLS. */
function canPopUp(): boolean {
  return isSecureContext && "Notification" in window && !matchMedia("(pointer: coarse)").matches;
}

function show(): void {
  const ways: readonly [way: Way, word: string, can: boolean][] = [
    ["sound", "Sound", "AudioContext" in window],
    ["buzz", "Buzz", canBuzz()],
    ["pop-up", "Pop-up", canPopUp()],
  ];
  const offered = ways.filter(([, , can]) => can);
  draw(
    "signals",
    html`<summary>How this device calls you</summary>
      <div class="acts">${offered.map(([way, word]) => toggle(way, word))}</div>
      ${wants("sound") && mayNotSoundYet() ? html`<p>Press anywhere once, and the sound is on again.</p>` : nothing}
      <p class="quiet">News comes to the top of this page${offered.length === 0 ? "; this browser can do no more" : ""}.
        A device that sleeps hears nothing: look here when you wake it.</p>`,
  );
}

function toggle(way: Way, word: string): unknown {
  return html`<button type="button" class="act" aria-pressed=${wants(way)} @click=${() => void turn(way)}
    >${word} ${wants(way) ? "on" : "off"}</button>`;
}

async function turn(way: Way): Promise<void> {
  let on = !wants(way);
  if (on && way === "sound") {
    await arm();
    if (audio) beep(audio);
  }
  if (on && way === "buzz") navigator.vibrate(BUZZ_MS);
  if (on && way === "pop-up") on = (await Notification.requestPermission()) === "granted";
  remember(way, on ? "on" : "");
  show();
}

async function arm(): Promise<void> {
  audio ??= new AudioContext();
  if (audio.state === "running") return;
  await audio.resume();
  show();
}

function beep(context: AudioContext): void {
  const [tone, volume] = [context.createOscillator(), context.createGain()];
  const end = context.currentTime + LENGTH_SECONDS;
  tone.frequency.value = PITCH_HZ;
  volume.gain.setValueAtTime(LOUDNESS, context.currentTime);
  volume.gain.linearRampToValueAtTime(0, end);
  tone.connect(volume).connect(context.destination);
  tone.start();
  tone.stop(end);
}
