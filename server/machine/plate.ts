/** What the plate says of one thing that takes power: volts, watts, amps, ohms, in whatever mix they are stamped. */
import type { Item, PropertyItem, QuantityItem, QuantityNode } from "../../grammar/tree.ts";
import type { InFile } from "./draft.ts";
import { quantitiesOf, quantityOf, wordsOf } from "./properties.ts";

export interface Plate {
  volts?: number;
  watts?: number;
  ohms?: QuantityNode;
  horsepower?: number;
  farads?: number;
  amps?: number;
  voltAmps?: number;
  /** Power factor said without a value before it, or behind `draws`. */
  pf?: number;
  runs?: number;
  runsWatts?: number;
  runsPf?: number;
  starts?: number;
  startsPf?: number;
  inrush?: number;
  /** What an ohmmeter reads. */
  meter?: { ohms: number; cold: boolean; tolerance?: number };
  hotOhms?: number;
  lockedRotor?: number;
  strikes?: number;
  /** As written, in order, for parts lists. */
  readonly texts: string[];
}

function bare(plate: Plate, quantity: QuantityNode): void {
  plate.texts.push(quantity.text);
  switch (quantity.dimension) {
    case "voltage":
      plate.volts ??= quantity.value;
      break;
    case "power":
      plate.watts ??= quantity.value;
      break;
    case "apparent-power":
      plate.voltAmps ??= quantity.value;
      break;
    case "current":
      plate.amps ??= quantity.value;
      break;
    case "resistance":
      plate.ohms ??= quantity;
      break;
    case "horsepower":
      plate.horsepower ??= quantity.value / 745.699872;
      break;
    case "capacitance":
      plate.farads ??= quantity.value;
      break;
    default:
  }
}

/** Reads bare quantities and power properties; `pf` belongs to the value before it. */
export function readPlate(items: readonly (Item | PropertyItem | QuantityItem)[]): Plate {
  const plate: Plate = { texts: [] };
  let last = "";
  for (const item of items) {
    if (item.item === "quantity") {
      bare(plate, item.quantity);
      continue;
    }
    if (item.item !== "property") continue;
    const value = quantityOf(item);
    const known = readProperty(plate, item, value, last);
    if (known && item.word !== "pf") last = item.word;
    if (known && value) plate.texts.push(`${item.word} ${value.text}`);
  }
  return plate;
}

function readProperty(plate: Plate, item: PropertyItem, value: QuantityNode | undefined, last: string): boolean {
  const number = value?.value;
  switch (item.word) {
    case "draws":
      for (const each of quantitiesOf(item)) {
        if (each.dimension === "current") plate.amps ??= each.value;
        else if (each.dimension === "power") plate.watts ??= each.value;
        else if (each.dimension === "apparent-power") plate.voltAmps ??= each.value;
      }
      return true;
    case "runs":
      if (value?.dimension === "power") plate.runsWatts = number;
      else plate.runs = number;
      return true;
    case "starts":
      plate.starts = number;
      return true;
    case "inrush":
      plate.inrush = value?.dimension === "current" ? number : undefined;
      return true;
    case "locked rotor":
      plate.lockedRotor = number;
      return true;
    case "strikes":
      plate.strikes = number;
      return true;
    case "pf":
      if (number === undefined || !(number > 0) || number > 1) return true;
      if (last === "runs") plate.runsPf = number;
      else if (last === "starts") plate.startsPf = number;
      else plate.pf = number;
      return true;
    case "resistance":
      if (value) {
        const words = wordsOf(item);
        if (words.includes("hot")) plate.hotOhms = value.value;
        else plate.meter = { ohms: value.value, cold: words.includes("cold"), tolerance: value.tolerance };
      }
      return true;
    default:
      return false;
  }
}

/** The items of a part that stand in its header or block, without the file. */
export function bareItems(items: readonly InFile<Item>[]): Item[] {
  return items.map(({ node }) => node);
}
