/** The filter wheel. */
import { SECOND } from "../../../base/units.js";
import type { DeviceConfig } from "../../../config/device-section.js";
import type { Camera } from "../../../observatory/observatory.js";
import { NotNow } from "../fault.js";
import type { Hands } from "../hands.js";
import type { Properties } from "../line/properties.js";

const SLOT = "FILTER_SLOT";
const SLOT_VALUE = "FILTER_SLOT_VALUE";
const NAMES = "FILTER_NAME";

export class Wheel {
  readonly keys = [SLOT];
  readonly wanted = [SLOT];

  constructor(
    readonly name: string,
    private readonly config: DeviceConfig,
    private readonly filters: Camera["filters"],
  ) {}

  /** Gives the slots the names of the configuration, which frames then carry. */
  async setUp(hands: Hands): Promise<void> {
    const known = hands.line.properties.get(this.name, NAMES);
    if (!known) return;
    const elements = [...known.values.keys()];
    const named = this.filters.filter(({ slot }) => slot < elements.length);
    const values = Object.fromEntries(named.map(({ slot, name }) => [elements[slot] as string, name]));
    if (named.every(({ slot, name }) => known.values.get(elements[slot] as string) === name)) return;
    await hands.reach({
      ...{ device: this.name, property: NAMES, values, restIsEnough: true },
      orElse: "the filter wheel did not take the filters' names",
      limitMs: this.config.limitSeconds.answer * SECOND,
      isDone: () => true,
    });
  }

  /**
   * Turns to a filter.
   * @throws {NotNow} when the configuration has no such filter any more
   */
  async turnTo(hands: Hands, filter: string): Promise<void> {
    const slot = this.filters.find(({ name }) => name === filter)?.slot;
    if (slot === undefined) throw new NotNow(`there is no filter ${filter} in the wheel`);
    const { properties } = hands.line;
    if (this.stands(properties, slot)) return;
    await hands.reach({
      device: this.name,
      property: SLOT,
      values: { [SLOT_VALUE]: slot + 1 },
      orElse: `the filter wheel did not turn to ${filter}`,
      limitMs: this.config.limitSeconds.filter * SECOND,
      isDone: () => properties.number(this.name, SLOT, SLOT_VALUE) === slot + 1,
    });
  }

  /** Slots are counted from 1 by the protocol, from 0 by the configuration. */
  private stands(properties: Properties, slot: number): boolean {
    return (
      properties.state(this.name, SLOT) === "Ok" &&
      properties.number(this.name, SLOT, SLOT_VALUE) === slot + 1
    );
  }
}
