/** Time zones: how far the observatory's clocks are from the reader's. */

/** Minutes that local time in a zone is ahead of UTC at an instant. */
export function minutesAhead(unixMs: number, timeZone: string | undefined): number {
  const format = new Intl.DateTimeFormat("en-GB", {
    ...(timeZone === undefined ? {} : { timeZone }),
    hourCycle: "h23",
    year: "numeric",
    month: "2-digit",
    day: "2-digit",
    hour: "2-digit",
    minute: "2-digit",
  });
  const part = Object.fromEntries(
    format.formatToParts(unixMs).map(({ type, value }) => [type, Number(value)]),
  );
  const local = Date.UTC(part.year as number, (part.month as number) - 1, part.day, part.hour, part.minute);
  return Math.round((local - unixMs) / 60_000);
}

/**
 * "observatory time, 7 h behind yours"; empty where both clocks agree.
 * @param own the reader's zone; left out: the device's
 */
export function zoneWords(unixMs: number, timeZone: string, own?: string): string {
  const minutes = minutesAhead(unixMs, timeZone) - minutesAhead(unixMs, own);
  if (minutes === 0) return "";
  const [hours, rest] = [Math.floor(Math.abs(minutes) / 60), Math.abs(minutes) % 60];
  const length = [hours > 0 ? `${hours} h` : "", rest > 0 ? `${rest} min` : ""].filter(Boolean).join(" ");
  return `observatory time, ${length} ${minutes < 0 ? "behind" : "ahead of"} yours`;
}
