/** `npm run check` for the hook: its secret, its port and its folder. Nothing is told to the control program. */
import { statSync } from "node:fs";
import Fastify from "fastify";
import { systemClock } from "../../base/clock.js";
import { Refusal } from "../../base/refusal.js";
import { SECOND } from "../../base/units.js";
import type { Config } from "../../config/config.js";
import { listenOn } from "./hook.js";
import { readSecret, sourceOf } from "./secret.js";
import {
  answerSignature,
  beginRequestSignature,
  SIGNATURE_HEADER,
  sameSignature,
  TIME_HEADER,
} from "./signature.js";

type HookConfig = Config["telescope"]["hook"];

export interface HookFindings {
  /** One line for each thing looked at, to print as it is. */
  readonly lines: readonly string[];
  readonly ok: boolean;
}

/** How long a program that listens there already may take to answer, real milliseconds. */
const ANSWER_MS = 3 * SECOND;

/** @param environment where the secret may stand */
export async function checkHook(
  { telescope: { hook } }: Config,
  environment: NodeJS.ProcessEnv = process.env,
): Promise<HookFindings> {
  const secret = secretOf(hook, environment);
  const lines = [secret.line, await portLine(hook, secret.text), ...folderLines(hook)];
  return { lines, ok: !lines.some((line) => line.startsWith("WRONG")) };
}

function secretOf({ secretFile }: HookConfig, environment: NodeJS.ProcessEnv) {
  try {
    const text = readSecret(secretFile, environment);
    const source = sourceOf(secretFile, environment);
    const whose =
      source === secretFile ? "which nobody but its owner may read" : "the environment's variable";
    return { text, line: `right  The hook's secret is in ${source}, ${whose}: ${text.length} characters.` };
  } catch (error) {
    if (error instanceof Refusal) return { text: null, line: `WRONG  ${error.message}` };
    throw error;
  }
}

/** Listens for a moment; where somebody does already, it may be this program itself. */
async function portLine(hook: HookConfig, secret: string | null): Promise<string> {
  const where = `${hook.host}:${hook.port}`;
  const web = Fastify();
  try {
    await listenOn(web, hook);
    return `right  The hook's port is free: ${where}.`;
  } catch (error) {
    if (secret !== null && (await answersAt(where, secret)))
      return `right  Nightslate listens at ${where} already, with this secret.`;
    return `WRONG  ${(error as Error).message}`;
  } finally {
    await web.close();
  }
}

/** Whether who listens there knows the secret. */
async function answersAt(where: string, secret: string): Promise<boolean> {
  const path = "/telescope/schema";
  const time = (systemClock().now() / SECOND).toFixed(3);
  const requestSignature = beginRequestSignature(secret, { method: "GET", path, time }).digest("hex");
  const headers = { [TIME_HEADER]: time, [SIGNATURE_HEADER]: requestSignature };
  try {
    const answer = await fetch(`http://${where}${path}`, { headers, signal: AbortSignal.timeout(ANSWER_MS) });
    const head = { requestSignature, status: answer.status, time: answer.headers.get(TIME_HEADER) ?? "" };
    const wanted = answerSignature(secret, head, await answer.text());
    return sameSignature(wanted, answer.headers.get(SIGNATURE_HEADER) ?? "");
  } catch {
    return false;
  }
}

function folderLines({ framesFolder }: HookConfig): string[] {
  if (framesFolder === null) return [];
  const isThere = statSync(framesFolder, { throwIfNoEntry: false })?.isDirectory() === true;
  return [
    isThere
      ? `right  The folder of frames is there: ${framesFolder}.`
      : `WRONG  telescope.hook.framesFolder: there is no folder ${framesFolder}; make it, or name another.`,
  ];
}
