/** One part: what its kind brings to the machine. */
import type { Item } from "../../grammar/tree.ts";
import type { Place } from "../base/place.ts";
import type { Draft, InFile, PartDraft } from "./draft.ts";
import { buildFuse, buildLoad, buildSensorLoad, buildTransformer, isLoadKind } from "./electrical.ts";
import type { Part } from "./machine.ts";
import { buildMotor, isMotor } from "./motor.ts";
import { buildConnector, buildFrames, buildPoint } from "./places.ts";
import { bareItems, readPlate } from "./plate.ts";
import { labelOf, propertyNamed } from "./properties.ts";
import { buildSwitching, isSwitching } from "./switching.ts";

const marks: ReadonlySet<string> = new Set([
  "impedance-protected",
  "thermally-protected",
  "attended",
  "sheathed",
  "split-phase",
  "capacitor-start",
  "capacitor-run",
  "shaded-pole",
  "universal",
  "synchronous",
  "gas",
  "neon",
  "filament",
  "time-delay",
  "fast-acting",
]);

/** Declares it, so that others may speak of it. */
export function newPart(
  draft: Draft,
  kind: string,
  name: string,
  items: readonly InFile<Item>[],
  place: Place,
  namePlace: Place,
  more: { label?: string; type?: string },
): PartDraft {
  const part: PartDraft = {
    id: draft.parts.length,
    name,
    kind,
    label: more.label,
    type: more.type,
    place,
    namePlace,
    items,
    terminals: [],
    controls: [],
    contacts: [],
    loads: [],
    marks: items.flatMap(({ node }) => (node.item === "property" && marks.has(node.word) ? [node.word] : [])),
    plate: [],
    at: labelOf(propertyNamed(items, "at")?.node)?.text,
    terminalNames: new Map(),
    contactNames: new Map(),
    loadNames: new Map(),
    referred: false,
  };
  for (const { node } of items) {
    if (node.item === "moves") part.moves = { label: node.label?.text ?? "", turning: node.turning?.text };
    if (node.item === "winding") {
      const poles = node.properties.find((each) => each.item === "quantity" && each.quantity.dimension === "count");
      if (poles?.item === "quantity") part.poles ??= poles.quantity.value;
    }
    if (node.item === "quantity" && node.quantity.dimension === "count") part.poles ??= node.quantity.value;
  }
  part.plate.push(...readPlate(bareItems(items)).texts);
  draft.parts.push(part);
  draft.partNames.set(name, part);
  return part;
}

/** Adds its terminals, controls, contacts and loads. What names other parts is bound by `Draft.runLater`. */
export function buildPart(draft: Draft, part: PartDraft): void {
  if (part.kind === "splice" || part.kind === "frame") buildPoint(draft, part);
  else if (part.kind === "connector") buildConnector(draft, part);
  else if (part.kind === "fuse") buildFuse(draft, part);
  else if (part.kind === "transformer") buildTransformer(draft, part);
  else if (part.kind === "sensor" && !thrown(part)) buildSensorLoad(draft, part);
  else if (isSwitching(part.kind)) buildSwitching(draft, part);
  else if (isMotor(part)) buildMotor(draft, part);
  else if (isLoadKind(part.kind)) buildLoad(draft, part);
  if (part.kind !== "frame") buildFrames(draft, part);
}

/** A heater, lamp, valve and the like, no motor. */
export function isPlainLoad(part: PartDraft): boolean {
  return isLoadKind(part.kind) && !isMotor(part);
}

/** A sensor that opens and closes, rather than one that is measured. */
function thrown(part: PartDraft): boolean {
  return (
    part.items.some(
      ({ node }) => node.item === "contact" && (node.positions ?? node.openPositions ?? node.while) !== undefined,
    ) ||
    part.items.some(({ node }) => node.item === "positions") ||
    propertyNamed(part.items, "opens") !== undefined ||
    propertyNamed(part.items, "closes") !== undefined
  );
}

/** The part as the finished machine holds it. */
export function finishedPart(part: PartDraft): Part {
  return {
    id: part.id,
    name: part.name,
    kind: part.kind,
    label: part.label,
    type: part.type,
    place: part.place,
    namePlace: part.namePlace,
    terminals: part.terminals,
    controls: part.controls,
    contacts: part.contacts,
    loads: part.loads,
    at: part.at,
    marks: part.marks,
    plate: part.plate,
    frame: part.frame,
    poles: part.poles,
    horsepower: part.horsepower,
    moves: part.moves,
  };
}
