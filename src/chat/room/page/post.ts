/** Sends a small form to the server. */

/** What came back, or what is wrong, in a sentence. */
export type Answer<T> =
  | { readonly problem: null; readonly body: T }
  | { readonly problem: string; readonly body: null };

/** null when it was accepted, else what is wrong, in a sentence. */
export async function post(path: string, body: object): Promise<string | null> {
  return (await ask(path, body)).problem;
}

/** Asks for something; `form` is posted when given. */
export function ask<T>(path: string, form: object | null = null): Promise<Answer<T>> {
  const headers = { "content-type": "application/json" };
  return send(path, form === null ? {} : { method: "POST", headers, body: JSON.stringify(form) });
}

/** Sends a file; the body says by which word a command names it. */
export function sendFile(file: File): Promise<Answer<{ readonly id: string }>> {
  const headers = { "content-type": "application/octet-stream" };
  const name = encodeURIComponent(file.name);
  return send(`/upload?name=${name}`, { method: "POST", headers, body: file });
}

async function send<T>(path: string, request: RequestInit): Promise<Answer<T>> {
  try {
    const response = await fetch(path, request);
    if (response.ok) return { problem: null, body: (await response.json()) as T };
    return { problem: ((await response.json()) as { problem: string }).problem, body: null };
  } catch {
    return { problem: "Nightslate cannot be reached: are you on the class's network?", body: null };
  }
}
