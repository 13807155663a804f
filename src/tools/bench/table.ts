/** The figures as a table for a terminal. */
import type { BenchRow } from "./row.js";

/** One line for each row: name, value, limit, and whether it is kept. */
export function tableOf(rows: readonly BenchRow[]): string {
  const cells = rows.map((row) => [row.name, shown(row.value, row.unit), limitOf(row), verdict(row)]);
  const all = [["what", "measured", "limit", ""], ...cells];
  const widths = [0, 1, 2].map((column) => Math.max(...all.map((line) => (line[column] as string).length)));
  return `${all.map((line) => lineOf(line, widths)).join("\n")}\n`;
}

function lineOf([name, value, limit, kept]: readonly string[], widths: readonly number[]): string {
  const [nameWidth = 0, valueWidth = 0, limitWidth = 0] = widths;
  const text = `${name?.padEnd(nameWidth)}  ${value?.padStart(valueWidth)}  ${limit?.padStart(limitWidth)}  ${kept}`;
  return text.trimEnd();
}

function limitOf({ limit, unit, atLeast }: BenchRow): string {
  if (limit === null) return "";
  return `${atLeast ? "≥" : "≤"} ${shown(limit, unit)}`;
}

function verdict({ limit, ok }: BenchRow): string {
  if (limit === null) return "";
  return ok ? "ok" : "OVER";
}

/** A figure as it is printed. */
export function shown(value: number, unit: string): string {
  return `${Number(value.toPrecision(3))} ${unit}`;
}
