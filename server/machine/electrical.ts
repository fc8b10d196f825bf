/** Things inside a part that take power: coils, drives, feeds, bias heaters, inputs; and the parts that are loads themselves. */

import { nearestNames, orList } from "../../grammar/suggest.ts";
import type {
  BranchItem,
  CoilItem,
  DriveItem,
  Item,
  NameNode,
  PropertyItem,
  QuantityItem,
  SeatItem,
  TextNode,
} from "../../grammar/tree.ts";
import { maskOf } from "./condition-algebra.ts";
import { usualEnds } from "./contacts.ts";
import { heatRules } from "./controls.ts";
import type { Draft, InFile, PartDraft } from "./draft.ts";
import { bleed, makeLoad } from "./loads.ts";
import type { Condition, ControlId, LoadId, LoadKind, LoadTest, TerminalId } from "./machine.ts";
import { bareItems, readPlate } from "./plate.ts";
import { propertyNamed, quantityOf } from "./properties.ts";
import { currentCoilOhms, hotPtcOhms, inputOhms, smallTransformer } from "./tables/typical-loads.ts";

export interface Feeds {
  /** Loads that keep the part alive or warm: feed, coil. */
  readonly loads: readonly LoadId[];
  readonly drive?: LoadId;
  /** Control of the coil, or of a board's feed: dropped-out or dead, pulled-in or alive. */
  readonly relay?: ControlId;
}

export function ends(
  draft: Draft,
  part: PartDraft,
  node: { readonly a?: NameNode; readonly b?: NameNode },
  file: string,
): readonly [TerminalId, TerminalId] | undefined {
  if (!node.a || !node.b) return undefined;
  return [declare(draft, part, node.a, file), declare(draft, part, node.b, file)];
}

export function declare(draft: Draft, part: PartDraft, node: NameNode, file: string): TerminalId {
  const known = part.terminalNames.get(node.text);
  const place = draft.place(node, file);
  const id = draft.addTerminal(part, node.text, place);
  draft.mention(place, { type: "terminal", terminal: id }, known === undefined);
  return id;
}

function noteLoad(draft: Draft, node: NameNode | undefined, load: LoadId, file: string): void {
  if (node) draft.mention(draft.place(node, file), { type: "load", load }, true);
}

/** Coils, drive and branches of a switching part. A board's terminals may be named after legs (`feed L to N`). */
export function addFeeds(draft: Draft, part: PartDraft): Feeds {
  const loads: LoadId[] = [];
  let drive: LoadId | undefined;
  let relay: ControlId | undefined;
  const own = readPlate(bareItems(part.items));
  for (const { node, file } of part.items) {
    if (node.item === "drive") {
      drive = innerLoad(draft, part, node, file, "drive", node.name?.text ?? "drive", own.volts) ?? drive;
    } else if (node.item === "coil") {
      const load = innerLoad(draft, part, node, file, "coil", node.name?.text ?? "coil", own.volts);
      if (load === undefined) continue;
      loads.push(load);
      relay ??= coilControl(draft, part, load, node.properties, file);
    } else if (node.item === "branch") {
      const load = branch(draft, part, node, file, own.volts);
      if (load !== undefined && node.word === "feed") {
        loads.push(load);
        if (part.kind === "board") relay ??= boardPower(draft, part, load);
      }
    }
  }
  if (part.kind === "relay" && loads.length === 0) {
    const [a, b] = usualEnds(draft, part, ["A1", "A2"]);
    const load = makeLoad(draft, part, {
      kind: "coil",
      shortName: "coil",
      a,
      b,
      items: bareItems(part.items),
      file: part.namePlace.file,
      node: part.place,
    });
    loads.push(load);
    relay = coilControl(draft, part, load, propertyItems(part), part.namePlace.file);
  }
  return { loads, drive, relay };
}

function propertyItems(part: PartDraft): PropertyItem[] {
  return part.items.flatMap(({ node }) => (node.item === "property" ? [node] : []));
}

function innerLoad(
  draft: Draft,
  part: PartDraft,
  node: CoilItem | DriveItem,
  file: string,
  kind: LoadKind,
  shortName: string,
  volts: number | undefined,
): LoadId | undefined {
  const pair = ends(draft, part, node, file);
  if (!pair) return undefined;
  const load = makeLoad(draft, part, {
    kind,
    shortName,
    a: pair[0],
    b: pair[1],
    items: node.properties,
    file,
    node,
    nameNode: node.name,
    volts,
  });
  noteLoad(draft, node.name, load, file);
  return load;
}

function branch(
  draft: Draft,
  part: PartDraft,
  node: BranchItem,
  file: string,
  volts: number | undefined,
): LoadId | undefined {
  if (node.word === "primary" || node.word === "secondary") return undefined;
  const pair = ends(draft, part, node, file);
  if (!pair) return undefined;
  const kinds: Readonly<Record<string, LoadKind>> = {
    bias: "bias-heater",
    feed: part.kind === "board" || part.kind === "control" ? "board" : "load",
    sense: "sensor",
    thermistor: "sensor",
    element: "heater",
  };
  const properties: readonly (PropertyItem | QuantityItem)[] =
    node.word === "feed" && node.properties.length === 0
      ? part.items.flatMap(({ node: item }) => (item.item === "quantity" || item.item === "property" ? [item] : []))
      : node.properties;
  const load = makeLoad(draft, part, {
    kind: kinds[node.word] ?? "load",
    shortName: node.name?.text ?? uniqueLoadName(part, node.word),
    a: pair[0],
    b: pair[1],
    items: properties,
    file,
    node,
    nameNode: node.name,
    volts: node.word === "feed" || node.word === "element" || node.word === "bias" ? volts : undefined,
  });
  noteLoad(draft, node.name, load, file);
  const open = draft.loads[load]!;
  if ((node.word === "sense" || node.word === "thermistor") && !open.known) {
    open.impedance = [{ re: inputOhms.value, im: 0 }];
    open.impedanceSource = `input of some 100 kohm assumed (${inputOhms.source})`;
    open.known = node.word === "sense";
  }
  return load;
}

function uniqueLoadName(part: PartDraft, word: string): string {
  if (!part.loadNames.has(word)) return word;
  let number = 2;
  while (part.loadNames.has(`${word}-${number}`)) number++;
  return `${word}-${number}`;
}

/** The relay that a coil moves: by volts, or by the current through it when its pull-in is stated in amps. */
function coilControl(
  draft: Draft,
  part: PartDraft,
  load: LoadId,
  properties: readonly (PropertyItem | QuantityItem)[],
  file: string,
): ControlId {
  const all: InFile<Item>[] = [...properties.map((node) => ({ node, file })), ...part.items];
  const pullsIn = quantityOf(propertyNamed(all, "pulls in")?.node);
  const dropsOut = quantityOf(propertyNamed(all, "drops out")?.node);
  const open = draft.loads[load]!;
  const byCurrent = pullsIn?.dimension === "current";
  if (byCurrent) {
    open.ratedVolts = undefined;
    if (open.meterOhms) {
      open.impedance = [{ re: open.meterOhms.ohms, im: 0 }];
      open.impedanceSource = undefined;
    } else {
      open.impedance = [{ re: currentCoilOhms.value, im: 0 }];
      open.impedanceSource = `0.05 ohm assumed (${currentCoilOhms.source})`;
    }
    open.known = true;
    open.inrush = undefined;
    open.inrushSource = undefined;
    open.ratedAmps = pullsIn.value;
  } else {
    const share = (q: typeof pullsIn) =>
      q?.dimension === "share"
        ? q.value
        : q?.dimension === "voltage" && open.ratedVolts
          ? q.value / open.ratedVolts
          : undefined;
    const works = share(pullsIn);
    const weak = share(dropsOut);
    open.scale = { ...open.scale, ...(works ? { works } : {}), ...(weak ? { weak } : {}) };
  }
  return draft.addControl(part, {
    name: part.name,
    role: "relay",
    positions: [{ name: "dropped-out" }, { name: "pulled-in" }],
    rest: 0,
    settled: true,
    rule: byCurrent
      ? { rule: "current", load, pullsIn: pullsIn.value, dropsOut: dropsOut?.value ?? pullsIn.value * 0.8 }
      : { rule: "coil", load },
    place: part.namePlace,
  });
}

/** A board's relays drop when it is dead. */
function boardPower(draft: Draft, part: PartDraft, load: LoadId): ControlId {
  return draft.addControl(part, {
    name: `${part.name}.power`,
    role: "relay",
    positions: [{ name: "dead" }, { name: "alive" }],
    rest: 0,
    settled: true,
    rule: { rule: "coil", load },
    place: part.namePlace,
  });
}

// ------------------------------------------------------------ parts that are loads

const loadKinds: Readonly<Record<string, LoadKind>> = {
  heater: "heater",
  lamp: "lamp",
  buzzer: "buzzer",
  igniter: "igniter",
  valve: "valve",
  load: "load",
  resistor: "resistor",
  capacitor: "capacitor",
  diode: "diode",
  ptc: "ptc",
};

export function isLoadKind(kind: string): boolean {
  return kind in loadKinds;
}

/** Terminals of a one-liner (`heater HT C to H 5400 W`), or 1 and 2. */
export function partEnds(draft: Draft, part: PartDraft): readonly [TerminalId, TerminalId] {
  for (const { node, file } of part.items) {
    if (node.item === "contact" && node.common && node.throws[0]) {
      return [declare(draft, part, node.common, file), declare(draft, part, node.throws[0], file)];
    }
  }
  return usualEnds(draft, part);
}

export function buildLoad(draft: Draft, part: PartDraft): void {
  const coils = part.items.filter(({ node }) => node.item === "coil");
  const elements = part.items.filter(({ node }) => node.item === "branch" && node.word === "element");
  const own = readPlate(bareItems(part.items));
  if (part.kind === "valve" && coils.length > 0) {
    buildValve(draft, part, own.volts);
    return;
  }
  if (elements.length > 0) {
    for (const { node, file } of elements) if (node.item === "branch") branch(draft, part, node, file, own.volts);
    return;
  }
  const [a, b] = partEnds(draft, part);
  const neon = propertyNamed(part.items, "neon") !== undefined || propertyNamed(part.items, "strikes") !== undefined;
  const kind = part.kind === "lamp" && neon ? "neon" : loadKinds[part.kind]!;
  const node: TextNode = part.place;
  const load = makeLoad(draft, part, { kind, a, b, items: bareItems(part.items), file: part.place.file, node });
  if (kind === "capacitor") {
    const ohms = quantityOf(propertyNamed(part.items, "bleeds")?.node, "resistance");
    if (ohms) bleed(draft.loads[load]!, ohms.value);
  }
  if (kind === "ptc") heatUp(draft, part, load, own.hotOhms);
  tellMissing(draft, part, load, kind);
}

/** A PTC is cold or hot; it heats itself while fed, and cools only while it is not. */
function heatUp(draft: Draft, part: PartDraft, load: LoadId, hotOhms: number | undefined): void {
  const open = draft.loads[load]!;
  const cold = open.meterOhms?.cold ? { re: open.meterOhms.ohms, im: 0 } : open.impedance[0];
  const fed =
    open.ratedVolts !== undefined && open.ratedAmps !== undefined ? open.ratedVolts / open.ratedAmps : undefined;
  const hot = hotOhms ?? (fed !== undefined && cold && fed > cold.re * 1.2 ? fed : hotPtcOhms.value);
  open.control = draft.addControl(part, {
    name: part.name,
    role: "heat-memory",
    positions: [{ name: "cold" }, { name: "hot" }],
    rest: 0,
    settled: false,
    changes: heatRules(part.name, [load], "weak"),
    place: part.namePlace,
  });
  open.impedance = [cold, { re: hot, im: 0 }];
  open.inrush = undefined;
  if (hotOhms === undefined && hot === hotPtcOhms.value) {
    open.impedanceSource = `hot: 30 kohm assumed (${hotPtcOhms.source})`;
  }
}

/** Parts of which too little is stated to tell a current; the text may be half typed, so this is a hint to go on. */
function tellMissing(draft: Draft, part: PartDraft, load: LoadId, kind: LoadKind): void {
  const open = draft.loads[load]!;
  if (open.known || kind === "neon" || kind === "diode" || kind === "buzzer" || kind === "valve" || kind === "lamp")
    return;
  const wanted: Readonly<Partial<Record<LoadKind, string>>> = {
    heater: "watts and volts, as in 5400 W 240 V",
    capacitor: "its capacitance, as in 15 uF",
    resistor: "its resistance, as in 5.6 kohm",
    igniter: "volts and amps, as in 120 V draws 3.3 A",
    ptc: "its cold resistance, as in resistance 6 ohm cold",
    load: "volts and watts or amps",
  };
  draft.find("value-missing", "information", part.namePlace, {
    what: `The current of ${part.name} is not known from what is written.`,
    why: "What it feeds is still followed, but its amps and those of its contacts are told as not known.",
    advice: `Add ${wanted[kind] ?? "what its plate says"}.`,
  });
}

// ------------------------------------------------------------ valves of several coils

function buildValve(draft: Draft, part: PartDraft, volts: number | undefined): void {
  const seats: InFile<SeatItem>[] = [];
  for (const { node, file } of part.items) {
    if (node.item === "coil") {
      const name = node.name?.text ?? (part.loadNames.has("coil") ? uniqueLoadName(part, "coil") : "coil");
      innerLoad(draft, part, node, file, "valve", name, volts);
    } else if (node.item === "seat") seats.push({ node, file });
  }
  for (const { node, file } of seats) {
    const name = node.name && seats.length > 1 ? `${part.name}.${node.name.text}` : part.name;
    const control = draft.addControl(part, {
      name,
      role: "valve",
      positions: [{ name: "shut" }, { name: "open" }],
      rest: 0,
      settled: true,
      rule: {
        rule: "seat",
        opens: coilTests(draft, part, node.opens, file, "works"),
        stays: coilTests(draft, part, node.stays ?? node.opens, file, "weak"),
      },
      place: draft.place(node, file),
    });
    if (node.name) {
      const place = draft.place(node.name, file);
      draft.mention(place, { type: "position", control, position: 1 }, true);
    }
  }
}

/** `hold on, boost on`: coils that must be energised, enough to pull in (`works`) or still to hold (`weak`). */
function coilTests(
  draft: Draft,
  part: PartDraft,
  condition: SeatItem["opens"],
  file: string,
  atLeast: LoadTest["atLeast"],
): LoadTest[] {
  const tests: LoadTest[] = [];
  for (const term of condition?.clauses[0] ?? []) {
    const name = term.subject?.part;
    if (!name) continue;
    const load = part.loadNames.get(name.text);
    if (load === undefined) {
      const near = nearestNames(name.text, part.loadNames.keys());
      draft.find("unknown-part", "error", draft.place(name, file), {
        what: `${part.name} has no coil called ${name.text}.`,
        advice:
          near.length > 0 ? `Did you mean ${orList(near)}?` : `Its coils are ${orList([...part.loadNames.keys()])}.`,
      });
      continue;
    }
    draft.mention(draft.place(name, file), { type: "load", load });
    tests.push({ load, atLeast });
  }
  return tests;
}

// ------------------------------------------------------------ fuse, transformer, sensor

/** A fuse conducts; it gets positions only when some condition asks for them, to keep the number of states small. */
export function buildFuse(draft: Draft, part: PartDraft): void {
  const [a, b] = partEnds(draft, part);
  const plate = readPlate(bareItems(part.items));
  let closed: Condition = [[]];
  if (draft.conditioned.has(part.name)) {
    const control = draft.addControl(part, {
      name: part.name,
      role: "thermal",
      positions: [{ name: "closed" }, { name: "open" }],
      rest: 0,
      settled: false,
      changes: [{ from: Uint8Array.of(1, 0), to: Uint8Array.of(0, 1), words: `${part.name} blows` }],
      place: part.namePlace,
    });
    closed = [[{ control, positions: maskOf(2, [0]) }]];
  }
  const text = plate.texts.join(" ");
  draft.addContact(part, {
    name: part.name,
    a,
    b,
    closed,
    role: "fuse",
    ratings:
      plate.amps === undefined
        ? []
        : [{ volts: plate.volts ?? 250, duty: "general", amps: plate.amps, place: part.place, text }],
    resets: "never",
    ohms: 0,
    place: part.place,
    namePlace: part.namePlace,
  });
}

export function buildTransformer(draft: Draft, part: PartDraft): void {
  const plate = readPlate(bareItems(part.items));
  let primary: { pair: readonly [TerminalId, TerminalId]; volts?: number } | undefined;
  const secondaries: {
    pair: readonly [TerminalId, TerminalId];
    volts?: number;
    voltAmps?: number;
    node: TextNode;
    file: string;
  }[] = [];
  for (const { node, file } of part.items) {
    if (node.item !== "branch" || (node.word !== "primary" && node.word !== "secondary")) continue;
    const pair = ends(draft, part, node, file);
    if (!pair) continue;
    const own = readPlate(node.properties);
    if (node.word === "primary") primary ??= { pair, volts: own.volts };
    else secondaries.push({ pair, volts: own.volts, voltAmps: own.voltAmps, node, file });
  }
  const volts = primary?.volts ?? plate.volts ?? draft.plainVolts();
  if (!primary || secondaries.length === 0 || volts === undefined) {
    draft.find("value-missing", "warning", part.namePlace, {
      what: `${part.name} needs a primary and a secondary with their volts.`,
      why: "Without them nothing on its other side is fed.",
      advice: "Write them in its block, as in: primary 1 to 2 120 V, and on the next line: secondary 3 to 4 24 V.",
    });
    return;
  }
  for (const secondary of secondaries) {
    if (!secondary.volts) continue;
    const stated = secondary.voltAmps ?? plate.voltAmps;
    const voltAmps = stated ?? smallTransformer.value.voltAmps;
    const load = (secondary.volts * secondary.volts) / voltAmps;
    draft.transformers.push({
      part: part.id,
      primary: primary.pair,
      secondary: secondary.pair,
      ratio: volts / secondary.volts,
      series: { re: load * smallTransformer.value.impedance, im: 0 },
      magnetising: { re: 0, im: (volts * volts) / (voltAmps * smallTransformer.value.magnetising) },
      ratedVoltAmps: stated,
      place: draft.place(secondary.node, secondary.file),
    });
  }
}

/** A sensor without positions is a thermistor or the like: two terminals and next to no current. */
export function buildSensorLoad(draft: Draft, part: PartDraft): void {
  const [a, b] = partEnds(draft, part);
  const load = makeLoad(draft, part, {
    kind: "sensor",
    a,
    b,
    items: bareItems(part.items),
    file: part.place.file,
    node: part.place,
  });
  const open = draft.loads[load]!;
  open.ratedVolts = undefined;
  if (!open.known) open.impedance = [{ re: inputOhms.value, im: 0 }];
}
