/** The secret that both ends of the hook know: from the environment or a file of its owner's, never from the configuration. */
import { readFileSync, statSync } from "node:fs";
import { Refusal } from "../../base/refusal.js";

/** Looked at before the file. */
export const SECRET_VARIABLE = "NIGHTSLATE_HOOK_SECRET";

/** Fewer characters can be guessed; 32 hexadecimal ones are 128 bits. */
const LEAST_CHARACTERS = 32;
const HOW_TO = "make one with: openssl rand -hex 32";
/** What anyone but the file's owner may do with it. */
const OTHERS = 0o077;

/**
 * @param file the configuration's `telescope.hook.secretFile`; null when it names none
 * @throws {Refusal} code "no-secret", "secret-unreadable", "secret-open" (others may read the file) or "secret-short"
 */
export function readSecret(file: string | null, environment: NodeJS.ProcessEnv = process.env): string {
  const given = environment[SECRET_VARIABLE]?.trim();
  if (given) return longEnough(given, sourceOf(file, environment));
  if (file !== null) return longEnough(readPrivate(file), file);
  throw new Refusal(
    "no-secret",
    `The telescope's hook has no secret: set ${SECRET_VARIABLE}, or name a file of mode 600 in telescope.hook.secretFile (${HOW_TO}).`,
  );
}

/** Where it is read from, for people; the same arguments. */
export function sourceOf(file: string | null, environment: NodeJS.ProcessEnv = process.env): string {
  return environment[SECRET_VARIABLE]?.trim() || file === null ? SECRET_VARIABLE : file;
}

function readPrivate(file: string): string {
  try {
    // Windows keeps no such mode.
    if (process.platform !== "win32" && (statSync(file).mode & OTHERS) !== 0) throw open(file);
    return readFileSync(file, "utf8").trim();
  } catch (error) {
    if (error instanceof Refusal) throw error;
    const { code } = error as NodeJS.ErrnoException;
    throw new Refusal(
      "secret-unreadable",
      `The secret of the telescope's hook cannot be read from ${file} (${code}): name a file in telescope.hook.secretFile, or set ${SECRET_VARIABLE}.`,
      { cause: error },
    );
  }
}

function open(file: string): Refusal {
  return new Refusal(
    "secret-open",
    `Others may read the secret in ${file}: make it its owner's alone with chmod 600.`,
  );
}

function longEnough(secret: string, source: string): string {
  if (secret.length >= LEAST_CHARACTERS) return secret;
  throw new Refusal(
    "secret-short",
    `The secret in ${source} has ${secret.length} characters and needs ${LEAST_CHARACTERS} at least (${HOW_TO}).`,
  );
}
