/** What a server's devices are like now, as far as it has said. */
import type { UtcMillis } from "../../../base/units.js";
import { type Message, numberOf, type Property, type PropertyState } from "./messages.js";

/** One property as last heard of. */
export interface Known extends Property {
  /** Counts messages: which of two came later. */
  readonly order: number;
  readonly heardUnixMs: UtcMillis;
  /** `order` of the last message that said it was busy; 0 for never. */
  readonly busyOrder: number;
}

/** No observatory has so many; a server that says so is not one. */
const MOST_PROPERTIES = 20_000;

export class Properties {
  /** Of the last message. */
  order = 0;
  private readonly devices = new Map<string, Map<string, Known>>();
  private count = 0;

  /** Takes a message in. */
  take(message: Message, unixMs: UtcMillis): void {
    this.order++;
    if (message.says === "gone") this.forget(message.device, message.name);
    else if (message.says !== "blob") this.keep(message.property, unixMs);
  }

  /** Forgets everything: another connection begins. */
  clear(): void {
    this.devices.clear();
    this.count = 0;
  }

  get(device: string, name: string): Known | undefined {
    return this.devices.get(device)?.get(name);
  }

  has(device: string): boolean {
    return this.devices.has(device);
  }

  deviceNames(): string[] {
    return [...this.devices.keys()];
  }

  namesOf(device: string): string[] {
    return [...(this.devices.get(device)?.keys() ?? [])];
  }

  state(device: string, name: string): PropertyState | null {
    return this.get(device, name)?.state ?? null;
  }

  /** Whether a switch is on; false where it is not there. */
  isOn(device: string, name: string, element: string): boolean {
    return this.get(device, name)?.values.get(element) === "On";
  }

  /** NaN where there is none. */
  number(device: string, name: string, element: string): number {
    return numberOf(this.get(device, name)?.values.get(element));
  }

  private keep(property: Property, heardUnixMs: UtcMillis): void {
    const { device, name, state, values } = property;
    let properties = this.devices.get(device);
    if (!properties) {
      properties = new Map();
      this.devices.set(device, properties);
    }
    const before = properties.get(name);
    if (!before && ++this.count > MOST_PROPERTIES) return;
    const { order } = this;
    const busyOrder = state === "Busy" ? order : (before?.busyOrder ?? 0);
    // A change may name some elements only.
    const all = before ? new Map([...before.values, ...values]) : values;
    properties.set(name, { device, name, state, values: all, order, heardUnixMs, busyOrder });
  }

  private forget(device: string, name: string | null): void {
    const properties = this.devices.get(device);
    if (!properties) return;
    if (name === null) {
      this.count -= properties.size;
      this.devices.delete(device);
    } else if (properties.delete(name)) this.count--;
  }
}
