/** What a thermal part or contact says of its temperatures. */
import type { Item } from "../../grammar/tree.ts";
import type { ThermalPlan } from "./controls.ts";
import type { InFile } from "./draft.ts";
import type { Contact } from "./machine.ts";
import { propertyNamed, quantityOf, wordsOf } from "./properties.ts";

export interface ThermalFacts {
  readonly plan: ThermalPlan;
  readonly contact: Pick<Contact, "opensAt" | "opensUpTo" | "closesAt" | "tripsAt" | "resets">;
}

const always: ReadonlySet<string> = new Set(["thermostat", "limit", "link", "overload"]);

/** Undefined when nothing thermal is said and the kind is not a thermal one. */
export function thermalFacts(items: readonly InFile<Item>[], kind: string, ofPart = false): ThermalFacts | undefined {
  const opensItem = propertyNamed(items, "opens")?.node;
  const closesItem = propertyNamed(items, "closes")?.node;
  if (!opensItem && !closesItem && !(ofPart && always.has(kind))) return undefined;
  let opens = quantityOf(opensItem, "temperature") ?? quantityOf(opensItem);
  if (!opens && ofPart) {
    // `link TL 91 C`: a bare temperature is where it opens.
    for (const { node } of items) {
      if (node.item === "quantity" && node.quantity.dimension === "temperature") opens ??= node.quantity;
    }
  }
  const closes = quantityOf(closesItem, "temperature");
  const differential = quantityOf(propertyNamed(items, "differential")?.node, "temperature-difference")?.value;
  const byHand =
    propertyNamed(items, "by hand") !== undefined ||
    wordsOf(opensItem).includes("by hand") ||
    wordsOf(closesItem).includes("by hand");
  const resets =
    kind === "link" || propertyNamed(items, "one-shot")
      ? "never"
      : propertyNamed(items, "hand-reset")
        ? "hand"
        : "self";
  const opensAt = opens?.dimension === "temperature" ? opens.value : undefined;
  const closesAt =
    closes?.value ?? (opensAt !== undefined && differential !== undefined ? opensAt - differential : undefined);
  const opensUpTo = opensAt === undefined ? undefined : opens?.upper;
  const tripsAt = quantityOf(opensItem, "current")?.value;
  return {
    plan: { opens, closes, differential, resets, byHand },
    contact: {
      opensAt,
      ...(opensUpTo === undefined ? {} : { opensUpTo }),
      closesAt,
      ...(tripsAt === undefined ? {} : { tripsAt }),
      resets,
    },
  };
}
