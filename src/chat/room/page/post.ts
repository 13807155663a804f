/** Sends a small form to the server. */

/** null when it was accepted, else what is wrong, in a sentence. */
export async function post(path: string, body: object): Promise<string | null> {
  try {
    const headers = { "content-type": "application/json" };
    const response = await fetch(path, { method: "POST", headers, body: JSON.stringify(body) });
    if (response.ok) return null;
    return ((await response.json()) as { problem: string }).problem;
  } catch {
    return "Nightslate cannot be reached: are you on the class's network?";
  }
}
