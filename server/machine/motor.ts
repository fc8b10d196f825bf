/** Motors, pumps, fans: windings, speed switch, protector, direction. */
import type { ContactItem, Item, WindingItem } from "../../grammar/tree.ts";
import { resolveOwn } from "./binding.ts";
import { literalCondition, maskOf } from "./condition-algebra.ts";
import { addContactItem, type Switchgear } from "./contacts.ts";
import { addThermal, type ThermalPlan } from "./controls.ts";
import type { Draft, InFile, Open, PartDraft } from "./draft.ts";
import { ends, partEnds } from "./electrical.ts";
import { impedanceOf, magnitude } from "./impedance.ts";
import { makeLoad } from "./loads.ts";
import type { ChangeRule, Complex, ControlId, Load, LoadId, LoadKind, MotorRule } from "./machine.ts";
import { bareItems, type Plate, readPlate } from "./plate.ts";
import { conditionOf, namesOfProperty, propertyNamed, wordsOf } from "./properties.ts";
import { partRating } from "./switching.ts";
import { codeLetterAmps } from "./tables/code-letters.ts";
import { fullLoadAmps, fullLoadCurrents, lockedRotorRatio } from "./tables/motor-currents.ts";
import {
  impedanceProtectedInrush,
  leastTorque,
  startingPowerFactor,
  startWindingShare,
  typicalPowerFactor,
} from "./tables/typical-loads.ts";
import { thermalFacts } from "./thermal-facts.ts";

const motorKinds: ReadonlySet<string> = new Set(["motor", "pump", "fan"]);

export function isMotor(part: PartDraft): boolean {
  return (
    motorKinds.has(part.kind) || part.items.some(({ node }) => node.item === "winding" || node.item === "speed-switch")
  );
}

/** Start and auxiliary windings are known by their names. */
function isStart(name: string | undefined): boolean {
  return name !== undefined && /^(start|aux|auxiliary|capacitor|starting)/i.test(name);
}

interface Winding {
  readonly load: LoadId;
  readonly plate: Plate;
  readonly start: boolean;
  /** One of two equal windings, either of which may be the main one. */
  readonly equal?: true;
  readonly item?: InFile<WindingItem>;
}

export function buildMotor(draft: Draft, part: PartDraft): void {
  const own = readPlate(bareItems(part.items));
  part.horsepower = own.horsepower;
  const windings = addWindings(draft, part, own);
  const control = needsControl(draft, part, windings) ? motorControl(draft, part, windings) : undefined;
  for (const winding of windings) setImpedances(draft, part, own, winding, windings, control);
  addSpeedSwitch(draft, part, control);
  addProtector(draft, part, windings);
  bindOpenWindings(draft, part, windings, control);
}

/** Two windings of the same copper differ by less than this in what the meter reads. Common practice, no published source. */
const SAME_OHMS = 0.05;

/**
 * A capacitor-run motor of two equal windings is reversed by feeding the one or the other, with the capacitor between them: both are wound as
 * main windings. Known by the same amps, or by the same ohms where no amps say otherwise.
 */
function windsEqual(part: PartDraft, plates: readonly Plate[]): boolean {
  const [one, other] = plates;
  if (!part.marks.includes("capacitor-run") || plates.length !== 2 || !one || !other) return false;
  const pairs = [
    [one.runs, other.runs],
    [one.starts, other.starts],
    [one.meter?.ohms, other.meter?.ohms],
  ].filter((pair): pair is [number, number] => pair[0] !== undefined && pair[1] !== undefined);
  return pairs.length > 0 && pairs.every(([a, b]) => Math.abs(a - b) <= SAME_OHMS * Math.max(a, b));
}

function addWindings(draft: Draft, part: PartDraft, own: Plate): Winding[] {
  const windings: Winding[] = [];
  const plates = part.items.flatMap(({ node }) => (node.item === "winding" ? [readPlate(node.properties)] : []));
  const equal = windsEqual(part, plates);
  for (const { node, file } of part.items) {
    if (node.item !== "winding") continue;
    const pair = ends(draft, part, node, file);
    if (!pair) continue;
    const start = equal ? windings.length === 1 : isStart(node.name?.text);
    const load = makeLoad(draft, part, {
      kind: start && !equal ? "start-winding" : "winding",
      shortName: node.name?.text ?? (windings.length === 0 ? "main" : `winding-${windings.length + 1}`),
      a: pair[0],
      b: pair[1],
      items: node.properties,
      file,
      node,
      nameNode: node.name,
      volts: own.volts,
    });
    if (node.name) draft.mention(draft.place(node.name, file), { type: "load", load }, true);
    windings.push({ load, plate: readPlate(node.properties), start, ...(equal && { equal }), item: { node, file } });
  }
  if (windings.length > 0) return windings;
  const hasOther = part.items.some(({ node }) => node.item === "speed-switch");
  if (hasOther && !part.items.some(({ node }) => node.item === "contact")) return windings;
  const [a, b] = partEnds(draft, part);
  const kinds: Readonly<Record<string, LoadKind>> = { pump: "pump", fan: "fan" };
  const load = makeLoad(draft, part, {
    kind: kinds[part.kind] ?? "winding",
    a,
    b,
    items: bareItems(part.items),
    file: part.place.file,
    node: part.place,
  });
  return [{ load, plate: own, start: false }];
}

/** A motor needs a control when its motion decides something: a start winding, contacts on its shaft, a direction, a condition. */
function needsControl(draft: Draft, part: PartDraft, windings: readonly Winding[]): boolean {
  if (windings.length === 0) return false;
  return (
    windings.some((winding) => winding.start) ||
    part.items.some(({ node }) => node.item === "speed-switch") ||
    propertyNamed(part.items, "turns") !== undefined ||
    draft.motions.has(part.name)
  );
}

function motorControl(draft: Draft, part: PartDraft, windings: readonly Winding[]): ControlId {
  const mains = windings.filter((winding) => !winding.start).map((winding) => winding.load);
  const starts = windings.filter((winding) => winding.start).map((winding) => winding.load);
  const leftSign = starts.length > 0 ? direction(draft, part, mains, starts) : undefined;
  const names =
    leftSign === undefined ? ["stopped", "hums", "running"] : ["stopped", "hums", "running left", "running right"];
  const rule: MotorRule = {
    rule: "motor",
    mains,
    starts,
    ...(windings.some(({ equal }) => equal) && { either: true as const }),
    leastTorque: leastTorque.value,
    ...(leftSign === undefined ? {} : { leftSign }),
  };
  return draft.addControl(part, {
    name: part.name,
    role: "motor",
    positions: names.map((name) => ({ name })),
    rest: 0,
    settled: true,
    rule,
    place: part.namePlace,
  });
}

/**
 * `turns left with 1 and 3 alike`: with terminals 1 and 3 on the same side of the line it turns left. The start winding's
 * current leads the main winding's (more resistance, or a capacitor), so with both counted into their first terminals
 * Im(Ia conj(Im)) is positive when 1 and 3 are both first or both second terminals.
 */
function direction(
  draft: Draft,
  part: PartDraft,
  mains: readonly LoadId[],
  starts: readonly LoadId[],
): 1 | -1 | undefined {
  const turns = propertyNamed(part.items, "turns");
  if (!turns) return undefined;
  const names = namesOfProperty(turns.node);
  const sides = names.map((name) => {
    const terminal = part.terminalNames.get(name.text);
    if (terminal === undefined) {
      draft.find("unknown-terminal", "error", draft.place(name, turns.file), {
        what: `${part.name} has no terminal ${name.text}.`,
        advice: "Name one end of the main winding and one of the start winding.",
      });
      return undefined;
    }
    draft.mention(draft.place(name, turns.file), { type: "terminal", terminal });
    const at = (ids: readonly LoadId[]) =>
      ids.flatMap((id) => {
        const load = draft.loads[id]!;
        return load.a === terminal ? [1] : load.b === terminal ? [-1] : [];
      })[0];
    return { main: at(mains), start: at(starts) };
  });
  const [first, second] = sides;
  if (!first || !second) return 1;
  const product =
    first.main !== undefined && second.start !== undefined
      ? first.main * second.start
      : first.start !== undefined && second.main !== undefined
        ? first.start * second.main
        : undefined;
  if (product === undefined) {
    draft.find("turns-unclear", "error", draft.place(turns.node, turns.file), {
      what: `The direction of ${part.name} is not told by one end of the main winding and one of the start winding.`,
      advice: "Name one terminal of each, as in: turns left with 4 and 5 alike.",
    });
    return 1;
  }
  const left = !wordsOf(turns.node).includes("right");
  return (left ? product : -product) as 1 | -1;
}

// ------------------------------------------------------------ impedances

/** Starting current of the whole motor: nameplate, then code letter, then the table's six times full load. */
function lockedAmps(part: PartDraft, own: Plate, volts: number, running: number | undefined) {
  if (own.lockedRotor !== undefined) return { amps: own.lockedRotor, source: "nameplate" };
  const letter = namesOfProperty(propertyNamed(part.items, "code")?.node)[0]?.text;
  if (letter !== undefined && part.horsepower !== undefined) {
    const amps = codeLetterAmps(letter, part.horsepower, volts);
    if (amps !== undefined) return { amps, source: `code letter ${letter.toUpperCase()}` };
  }
  if (part.marks.includes("impedance-protected") && running !== undefined) {
    return { amps: running * impedanceProtectedInrush.value, source: impedanceProtectedInrush.source };
  }
  if (running === undefined) return undefined;
  return { amps: running * lockedRotorRatio.value, source: `${lockedRotorRatio.source}, 6 x running current` };
}

function setImpedances(
  draft: Draft,
  part: PartDraft,
  own: Plate,
  winding: Winding,
  all: readonly Winding[],
  control: ControlId | undefined,
): void {
  const load = draft.loads[winding.load]!;
  const volts = load.ratedVolts ?? 120;
  const behind = winding.start && !winding.equal;
  if (!behind) setMain(draft, part, own, winding, load, volts);
  const plate = winding.plate;
  let locked: Complex;
  let source: string | undefined;
  if (plate.starts !== undefined && plate.starts > 0) {
    const usual = behind ? startingPowerFactor.value.start : startingPowerFactor.value.main;
    locked = impedanceOf(volts, plate.starts, plate.startsPf ?? usual);
    source = "nameplate";
    if (behind) load.known = true;
  } else if (behind) {
    const main = all.find((each) => !each.start);
    const mainAmps =
      main?.plate.starts ?? volts / magnitude(draft.loads[main?.load ?? winding.load]!.inrush ?? { re: 8, im: 0 });
    locked = impedanceOf(volts, Math.max(0.01, mainAmps * startWindingShare.value), startingPowerFactor.value.start);
    source = `half the main winding's assumed (${startWindingShare.source})`;
    load.known = plate.runs !== undefined;
  } else {
    const running = load.known ? volts / magnitude(load.impedance[0]!) : undefined;
    const found = lockedAmps(part, own, volts, running);
    locked = found
      ? impedanceOf(volts, Math.max(found.amps, 1e-6), startingPowerFactor.value.main)
      : { re: load.impedance[0]!.re / 6, im: load.impedance[0]!.im / 6 };
    source = found?.source;
  }
  const running = behind && plate.runs === undefined ? locked : load.impedance[0]!;
  load.inrush = load.inrushSource === "nameplate" ? load.inrush : locked;
  load.inrushSource = load.inrushSource === "nameplate" ? "nameplate" : source;
  if (behind && plate.runs === undefined) load.ratedAmps = undefined;
  if (control === undefined) {
    load.impedance = [running];
    return;
  }
  load.control = control;
  load.impedance = draft.controls[control]!.positions.map((_, index) => (index < 2 ? locked : running));
}

/** A main winding whose plate is silent takes the motor's: its amps, its watts, or the table's current for its horsepower. */
function setMain(draft: Draft, part: PartDraft, own: Plate, winding: Winding, load: Open<Load>, volts: number): void {
  if (winding.item && load.known) return;
  const pf = winding.plate.runsPf ?? winding.plate.pf ?? own.runsPf ?? own.pf ?? typicalPowerFactor[load.kind] ?? 0.6;
  if (winding.item && !load.known) {
    const amps = own.runs ?? own.amps ?? (own.watts === undefined ? undefined : own.watts / (volts * pf));
    if (amps !== undefined && amps > 0) {
      setRunning(load, volts, amps, pf, "from the motor's plate");
      return;
    }
  }
  if (load.known) return;
  const table = part.horsepower === undefined ? undefined : fullLoadAmps(part.horsepower, volts);
  if (table !== undefined) {
    setRunning(load, volts, table, pf, `full-load current of its horsepower by ${fullLoadCurrents.source}`);
  } else if (draft.loads.length > 0 && !winding.item) tellUnknownMotor(draft, part);
}

function setRunning(load: Open<Load>, volts: number, amps: number, pf: number, source: string): void {
  load.impedance = [impedanceOf(volts, amps, pf)];
  load.known = true;
  load.impedanceSource = source;
  load.ratedAmps = amps;
}

function tellUnknownMotor(draft: Draft, part: PartDraft): void {
  draft.find("value-missing", "information", part.namePlace, {
    what: `The current of ${part.name} is not known from what is written.`,
    why: "What feeds it is still followed, but its amps and those of its contacts are told as not known.",
    advice: "Add what its plate says: amps, watts or horsepower, with the volts.",
  });
}

/** `winding start ... opens when DM running`: cut out inside the motor. */
function bindOpenWindings(
  draft: Draft,
  part: PartDraft,
  windings: readonly Winding[],
  control: ControlId | undefined,
): void {
  if (control === undefined) return;
  for (const { load, item } of windings) {
    const property = item?.node.properties.find((each) => each.item === "property" && each.word === "opens when");
    if (property?.item !== "property" || !item) continue;
    const node = conditionOf(property);
    if (!node) continue;
    draft.later(() => {
      const condition = resolveOwn(draft, part, node, item.file);
      const open = draft.loads[load]!;
      open.impedance = open.impedance.map((z, index) =>
        condition.some(
          (clause) => clause.length === 1 && clause[0]!.control === control && clause[0]!.positions[index] === 1,
        )
          ? undefined
          : z,
      );
    });
  }
}

// ------------------------------------------------------------ speed switch, protector

function addSpeedSwitch(draft: Draft, part: PartDraft, control: ControlId | undefined): void {
  const items: InFile<ContactItem>[] = [];
  for (const { node, file } of part.items) {
    if (node.item === "speed-switch") for (const contact of node.contacts) items.push({ node: contact, file });
    else if (node.item === "contact" && node.word === "contact") items.push({ node, file });
  }
  if (items.length === 0) return;
  const gear: Switchgear = {
    draft,
    part,
    role: "switching",
    charts: [],
    rating: partRating(part),
    usual: undefined,
    also: [],
    late: [],
    ownWill: false,
    feeds: [],
  };
  for (const { node, file } of items) {
    const ids = addContactItem(gear, node, file, false);
    if (control === undefined) continue;
    draft.later(() => {
      for (const id of ids) draft.contacts[id]!.closed = belowSpeed(draft.contacts[id]!.closed, control);
    });
  }
}

/** On the shaft, `stopped` means below the switch's speed: a motor that only hums has not thrown it. */
function belowSpeed(condition: Load["through"][number]["when"], control: ControlId) {
  return condition.map((clause) =>
    clause.map((literal) => {
      if (literal.control !== control) return literal;
      const positions = Uint8Array.from(literal.positions);
      positions[1] = positions[0]!;
      return { control, positions };
    }),
  );
}

function addProtector(draft: Draft, part: PartDraft, windings: readonly Winding[]): void {
  for (const { node, file } of part.items) {
    if (node.item !== "contact" || node.word !== "protector") continue;
    const facts = thermalFacts(
      node.properties.map((each): InFile<Item> => ({ node: each, file })),
      "protector",
    );
    const plan: ThermalPlan = facts?.plan ?? { resets: "self", byHand: false };
    const name = `${part.name}.protector`;
    if (!node.common || !node.throws[0]) continue;
    const control = addThermal(draft, part, name, plan, draft.place(node, file));
    const loads = windings.map((winding) => winding.load);
    draft.controls[control]!.changes = protectorRules(name, plan, loads);
    const gear: Switchgear = {
      draft,
      part,
      role: "built-in-protector",
      charts: [],
      rating: partRating(part),
      usual: literalCondition(control, maskOf(2, [0])),
      also: [],
      late: [],
      ownWill: false,
      feeds: loads,
    };
    // Its temperatures are used up by the control above, not by a second one of the contact.
    const bare: ContactItem = {
      ...node,
      properties: node.properties.filter((each) => !/^(opens|closes)$/.test(each.word)),
    };
    for (const id of addContactItem(gear, bare, file, false)) {
      const contact = draft.contacts[id]!;
      contact.name = name;
      contact.senses = loads;
      Object.assign(contact, facts?.contact ?? { resets: "self" });
    }
  }
}

/** It opens only after its windings were fed; it closes again when it has cooled. */
function protectorRules(name: string, plan: ThermalPlan, loads: readonly LoadId[]): ChangeRule[] {
  const rules: ChangeRule[] = [
    {
      from: Uint8Array.of(1, 0),
      to: Uint8Array.of(0, 1),
      words: `${name} opens by heat`,
      ...(loads.length > 0 ? { needs: loads.map((load) => [{ load, atLeast: "weak" as const }]) } : {}),
    },
  ];
  if (plan.resets === "self")
    rules.push({ from: Uint8Array.of(0, 1), to: Uint8Array.of(1, 0), words: `${name} cools and closes` });
  if (plan.resets === "hand") {
    rules.push({
      from: Uint8Array.of(0, 1),
      to: Uint8Array.of(1, 0),
      byHand: true,
      words: `press the reset of ${name}`,
    });
  }
  return rules;
}
