/**
 * Messages of the INDI protocol, version 1.7 (E. C. Downey's white paper of 2007: XML elements over TCP): what a
 * server says of its devices' properties, and what it may be told.
 */
export type PropertyState = "Idle" | "Ok" | "Busy" | "Alert";

/** One property of a device, all elements of which change together. */
export interface Property {
  readonly device: string;
  readonly name: string;
  readonly state: PropertyState;
  /** Element → value as it was sent, without the white space around it. */
  readonly values: ReadonlyMap<string, string>;
}

/** A file that a device sends: a camera's frame. */
export interface Blob {
  readonly device: string;
  readonly property: string;
  readonly element: string;
  /** Its ending, such as ".fits". */
  readonly format: string;
  readonly bytes: Buffer;
}

export type Message =
  | { readonly says: "defined" | "changed"; readonly property: Property }
  /** @property name null: the whole device is gone */
  | { readonly says: "gone"; readonly device: string; readonly name: string | null }
  | { readonly says: "blob"; readonly blob: Blob };

export type Values = Readonly<Record<string, string | number>>;

const ESCAPES: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  "'": "&apos;",
  '"': "&quot;",
};

/** Everything that the server has; it has to be the first message on every connection. */
export const askAll = (): string => "<getProperties version='1.7'/>\n";

export function askDevice(device: string): string {
  return `<getProperties version='1.7' device='${escaped(device)}'/>\n`;
}

/** Files of this device are wanted, beside everything else. */
export function wantBlobs(device: string): string {
  return `<enableBLOB device='${escaped(device)}'>Also</enableBLOB>\n`;
}

/**
 * An order to a device.
 * @param values numbers make a number vector, "On" and "Off" a switch vector, other text a text vector
 */
export function order(device: string, name: string, values: Values): string {
  const kind = kindOf(Object.values(values));
  const elements = Object.entries(values).map(
    ([element, value]) => `<one${kind} name='${escaped(element)}'>${escaped(String(value))}</one${kind}>`,
  );
  return `<new${kind}Vector device='${escaped(device)}' name='${escaped(name)}'>${elements.join("")}</new${kind}Vector>\n`;
}

/** A number as the protocol writes it: plain, or sexagesimal ("-3:30:36" is −3.51); NaN for anything else. */
export function numberOf(text: string | undefined): number {
  const parts = (text ?? "").trim().split(/[:;\s]+/);
  if (parts.length > 3 || parts.some((part) => !/^[-+]?\d*\.?\d+(e[-+]?\d+)?$|^\d+\.$/i.test(part)))
    return Number.NaN;
  const size = parts.reduce((sum, part, index) => sum + Math.abs(Number(part)) / 60 ** index, 0);
  return (parts[0] as string).startsWith("-") ? -size : size;
}

function kindOf(values: readonly (string | number)[]): "Number" | "Switch" | "Text" {
  if (values.every((value) => typeof value === "number")) return "Number";
  return values.every((value) => value === "On" || value === "Off") ? "Switch" : "Text";
}

/** Control characters have no place in XML 1.0. */
function escaped(text: string): string {
  return text.replace(/\p{Cc}/gu, " ").replace(/[&<>'"]/g, (each) => ESCAPES[each] as string);
}
