/** Lets others get a word in between pieces of long work. */

/** Resolves when whatever is due on the main thread has had its turn. */
export function otherWork(): Promise<void> {
  return new Promise((done) => setImmediate(done));
}
