/** Small readers of property items, tolerant of whatever the writer has not typed yet. */
import type {
  ConditionNode,
  Dimension,
  Item,
  LabelNode,
  NameNode,
  PointNode,
  PropertyItem,
  QuantityNode,
} from "../../grammar/tree.ts";
import type { InFile } from "./draft.ts";

export type Fact = Item;

export function propertyNamed(items: readonly InFile<Item>[], word: string): InFile<PropertyItem> | undefined {
  for (const { node, file } of items) if (node.item === "property" && node.word === word) return { node, file };
  return undefined;
}

/** Closed at rest, open at rest, or neither said. */
export function normallyClosed(properties: readonly Item[]): boolean | undefined {
  for (const node of properties) {
    if (node.item !== "property") continue;
    if (node.word === "normally closed") return true;
    if (node.word === "normally open") return false;
  }
  return undefined;
}

export function propertiesNamed(items: readonly InFile<Item>[], word: string): InFile<PropertyItem>[] {
  const found: InFile<PropertyItem>[] = [];
  for (const { node, file } of items) if (node.item === "property" && node.word === word) found.push({ node, file });
  return found;
}

export function quantitiesOf(property: PropertyItem | undefined, dimension?: Dimension): QuantityNode[] {
  const found: QuantityNode[] = [];
  for (const value of property?.values ?? []) {
    if (value.type === "quantity" && (dimension === undefined || value.quantity.dimension === dimension)) {
      found.push(value.quantity);
    }
  }
  return found;
}

export function quantityOf(property: PropertyItem | undefined, dimension?: Dimension): QuantityNode | undefined {
  return quantitiesOf(property, dimension)[0];
}

export function wordsOf(property: PropertyItem | undefined): string[] {
  const found: string[] = [];
  for (const value of property?.values ?? []) if (value.type === "word") found.push(value.name.text);
  return found;
}

export function namesOfProperty(property: PropertyItem | undefined): NameNode[] {
  const found: NameNode[] = [];
  for (const value of property?.values ?? []) {
    if (value.type === "name") found.push(value.name);
    else if (value.type === "point" && value.point.part && !value.point.terminal) found.push(value.point.part);
  }
  return found;
}

export function pointsOf(property: PropertyItem | undefined): PointNode[] {
  const found: PointNode[] = [];
  for (const value of property?.values ?? []) {
    if (value.type === "point") found.push(value.point);
    else if (value.type === "name") found.push({ part: value.name, from: value.name.from, to: value.name.to });
  }
  return found;
}

export function labelOf(property: PropertyItem | undefined): LabelNode | undefined {
  for (const value of property?.values ?? []) if (value.type === "label") return value.label;
  return undefined;
}

export function conditionOf(property: PropertyItem | undefined): ConditionNode | undefined {
  for (const value of property?.values ?? []) if (value.type === "condition") return value.condition;
  return undefined;
}

/** A quantity that may stand as one of several alternatives (`120/240 V`): all of its values. */
export function allValues(quantity: QuantityNode): number[] {
  return [quantity.value, ...(quantity.alternatives ?? [])];
}
