/** Small things a browser remembers for its reader; a browser that refuses forgets them. */

export function recall(key: string): string | null {
  try {
    return localStorage.getItem(`nightslate.${key}`);
  } catch {
    return null;
  }
}

export function remember(key: string, value: string): void {
  try {
    localStorage.setItem(`nightslate.${key}`, value);
  } catch {
    // Private windows may refuse: then only this page knows.
  }
}

/** What the server said when it signed this browser out, told once. */
export function farewell(): string {
  const said = recall("farewell") ?? "";
  remember("farewell", "");
  return said;
}
