/** Parts that switch: timers, selectors, switches, pushes, levels, controls, boards, locks, thermal parts, sensors, relays. */
import type { ContactItem, NameNode, PositionNode, RatingNode } from "../../grammar/tree.ts";
import { notePosition, resolveOwn } from "./binding.ts";
import { buildChart, type Chart, tellLooseRows } from "./chart.ts";
import { andConditions, literalCondition, maskOf, notCondition, orConditions } from "./condition-algebra.ts";
import { addContactItem, addCycle, addDelay, type Switchgear, usualEnds } from "./contacts.ts";
import { addThermal, handRule, heatRules, levelRules, thermalRules } from "./controls.ts";
import type { Draft, InFile, PartDraft } from "./draft.ts";
import { addFeeds } from "./electrical.ts";
import type { ChangeRule, Condition, ContactRole, ControlId, ControlRole, LoadId } from "./machine.ts";
import { loadsAt } from "./points.ts";
import { buildProgram } from "./program.ts";
import { conditionOf, namesOfProperty, pointsOf, propertiesNamed, propertyNamed, quantityOf } from "./properties.ts";
import { ratingPoints } from "./ratings.ts";
import { orderByPlace } from "./same-place.ts";
import { thermalFacts } from "./thermal-facts.ts";

const roles: Readonly<Record<string, ContactRole>> = {
  thermostat: "thermostat",
  limit: "limit",
  link: "link",
  overload: "overload",
  level: "level",
  lock: "lock",
};

const controlRoles: Readonly<Record<string, ControlRole>> = {
  timer: "timer",
  selector: "selector",
  control: "selector",
  board: "board",
  level: "level",
  push: "push",
};

/** Positions that stand against one another, so that naming one of them names the other. */
const opposites: Readonly<Record<string, string>> = {
  on: "off",
  off: "on",
  shut: "open",
  open: "shut",
  closed: "open",
  pressed: "released",
  released: "pressed",
  full: "empty",
  empty: "full",
  locked: "unlocked",
  unlocked: "locked",
  cold: "hot",
  hot: "cold",
};

export function isSwitching(kind: string): boolean {
  return kind in roles || kind in controlRoles || kind === "switch" || kind === "relay" || kind === "sensor";
}

/** Everything a switching part brings. */
export function buildSwitching(draft: Draft, part: PartDraft): void {
  const contacts = contactItems(part);
  const feeds = addFeeds(draft, part);
  const charts = buildCharts(draft, part);
  const main = charts[0]?.control ?? mainControl(draft, part, contacts, feeds);
  if (part.kind === "level") buildKnob(draft, part, main);
  const facts = thermalFacts(part.items, part.kind, true);
  const place = part.namePlace;
  const thermalName = main === undefined ? part.name : `${part.name}.thermostat`;
  const thermal = facts ? addThermal(draft, part, thermalName, facts.plan, place) : undefined;
  if (facts && thermal !== undefined) {
    bindThermal(draft, part, thermal, thermalName, facts.plan);
    orderByPlace(draft, part, thermal, facts);
  }
  const relay = feeds.relay;
  const gear: Switchgear = {
    draft,
    part,
    role: roles[part.kind] ?? "switching",
    charts,
    rating: partRating(part),
    usual: usualCondition(draft, part, main, thermal, relay),
    also: [
      ...(thermal === undefined ? [] : [{ control: thermal, condition: literalCondition(thermal, maskOf(2, [0])) }]),
      ...(part.kind === "board" && relay !== undefined
        ? [{ control: relay, condition: literalCondition(relay, maskOf(2, [1])) }]
        : []),
      ...partDelays(draft, part, feeds.loads, relay),
    ],
    late: [...dropRules(draft, part), ...cycleRules(draft, part)],
    ownWill: part.kind === "board",
    thermal: facts,
    starter: relay,
    feeds: feeds.loads,
  };
  addContacts(gear, contacts);
  bindPartSenses(draft, part);
  for (const chart of charts) tellLooseRows(draft, part, chart);
  buildProgram(draft, part, charts, feeds.drive, feeds.loads);
  bindMainRules(draft, part, main, charts.length > 0, feeds.loads);
  tellNamedLimit(draft, part);
}

function contactItems(part: PartDraft): InFile<ContactItem>[] {
  const found: InFile<ContactItem>[] = [];
  for (const { node, file } of part.items) {
    if (node.item === "contact" && node.word !== "protector") found.push({ node, file });
    // A speed switch stands here only by mistake of kind; its contacts are kept.
    if (node.item === "speed-switch") for (const contact of node.contacts) found.push({ node: contact, file });
  }
  return found;
}

export function partRating(part: PartDraft): InFile<RatingNode> | undefined {
  for (const { node, file } of part.items) if (node.item === "rated") return { node: node.rating, file };
  return undefined;
}

function addContacts(gear: Switchgear, items: readonly InFile<ContactItem>[]): void {
  const { draft, part } = gear;
  if (items.length === 0) {
    if (!hasOneContact(part.kind)) return;
    const [a, b] = usualEnds(draft, part);
    const id = draft.addContact(part, {
      name: part.name,
      a,
      b,
      closed: gear.usual ?? [],
      role: gear.role,
      ratings: gear.rating ? ratingPoints(draft, gear.rating.node, gear.rating.file) : [],
      ohms: 0,
      leaks: quantityOf(propertyNamed(part.items, "leaks")?.node, "current")?.value,
      ...gear.thermal?.contact,
      place: part.place,
      namePlace: part.namePlace,
    });
    draft.later(() => {
      let closed = draft.contacts[id]!.closed;
      for (const also of gear.also) {
        if (!closed.some((clause) => clause.some((literal) => literal.control === also.control))) {
          closed = andConditions(closed, also.condition);
        }
      }
      draft.contacts[id]!.closed = closed;
    });
    return;
  }
  const alone = items.length === 1 && items[0]!.node.word === "";
  for (const { node, file } of items) addContactItem(gear, node, file, alone && node.throws.length === 1);
}

/** Kinds that are one contact from 1 to 2 when they name no terminals. */
function hasOneContact(kind: string): boolean {
  return kind === "push" || kind === "thermostat" || kind === "limit" || kind === "link" || kind === "overload";
}

function usualCondition(
  draft: Draft,
  part: PartDraft,
  main: ControlId | undefined,
  thermal: ControlId | undefined,
  relay: ControlId | undefined,
): Condition | undefined {
  const normallyClosed = propertyNamed(part.items, "normally closed") !== undefined;
  if (thermal !== undefined) return literalCondition(thermal, maskOf(2, [0]));
  if (part.kind === "relay" && relay !== undefined) return literalCondition(relay, maskOf(2, [normallyClosed ? 0 : 1]));
  if (part.kind === "push" && main !== undefined) {
    const count = draft.controls[main]!.positions.length;
    return literalCondition(main, maskOf(count, [normallyClosed ? 0 : count - 1]));
  }
  if (main !== undefined && draft.controls[main]!.role === "heat-memory") return undefined;
  return undefined;
}

// ------------------------------------------------------------ the main control

function buildCharts(draft: Draft, part: PartDraft): Chart[] {
  const charts: Chart[] = [];
  for (const { node, file } of part.items) {
    if (node.item !== "chart") continue;
    const role = charts.length > 0 || node.fast ? "fast-cam" : (controlRoles[part.kind] ?? "timer");
    const name = charts.length > 0 || node.fast ? `${part.name}.${node.name?.text ?? "fast"}` : part.name;
    const chart = buildChart(draft, part, { node, file }, role, name);
    if (chart) charts.push(chart);
  }
  // The slow chart is the part's main control, whichever comes first in the text.
  return charts.sort((a, b) => Number(a.source.node.fast) - Number(b.source.node.fast));
}

function mainControl(
  draft: Draft,
  part: PartDraft,
  contacts: readonly InFile<ContactItem>[],
  feeds: { readonly loads: readonly LoadId[] },
): ControlId | undefined {
  const written = writtenPositions(part);
  const nodes = written?.names ?? inferredPositions(contacts);
  const warmed = propertyNamed(part.items, "warmed by");
  let names = nodes.map((node) => node.text);
  if (part.kind === "push" && names.length === 0) names = ["released", "pressed"];
  if (part.kind === "relay" || names.length === 0) return undefined;
  if (!written && part.kind === "push") names = orderedPair(names, ["released", "pressed"]);
  const heat = isHeatPair(names) && (warmed !== undefined || part.kind === "sensor" || part.kind === "lock");
  if (heat && !written) names = ["cold", "hot"];
  const seen = new Set<string>();
  const positions = names.flatMap((name) => {
    if (seen.has(name)) return [];
    seen.add(name);
    const node = nodes.find((each) => each.text === name);
    return [{ name, ...(node ? { place: draft.place(node, written?.file ?? contacts[0]?.file) } : {}) }];
  });
  const role: ControlRole = heat ? "heat-memory" : (controlRoles[part.kind] ?? "switch");
  const rest = restOf(draft, part, positions, written !== undefined);
  const control = draft.addControl(part, {
    name: part.name,
    role,
    positions,
    rest,
    settled: false,
    place: part.namePlace,
  });
  if (written) {
    for (const node of written.names) {
      const index = positions.findIndex((position) => position.name === node.text);
      notePosition(draft, written.file, node, draft.controls[control]!, maskOf(positions.length, [index]), true);
    }
  }
  if (heat) bindHeat(draft, part, control, warmed, feeds.loads);
  return control;
}

function writtenPositions(part: PartDraft): { names: readonly NameNode[]; file: string } | undefined {
  for (const { node, file } of part.items) {
    if (node.item === "positions" && node.word !== "set" && node.names.length > 0) return { names: node.names, file };
  }
  return undefined;
}

/** Positions of a one-liner in the order they are named; a lone one brings its opposite. */
function inferredPositions(contacts: readonly InFile<ContactItem>[]): NameNode[] {
  const names: NameNode[] = [];
  const add = (nodes: readonly PositionNode[] | undefined) => {
    for (const node of nodes ?? []) {
      const name: NameNode | undefined =
        node.name ??
        (node.first === undefined ? undefined : { text: String(node.first), from: node.from, to: node.to });
      if (name && !names.some((each) => each.text === name.text)) names.push(name);
    }
  };
  for (const { node } of contacts) {
    add(node.positions);
    add(node.openPositions);
  }
  if (names.length === 1) {
    const opposite = opposites[names[0]!.text] ?? `not ${names[0]!.text}`;
    names.push({ text: opposite, from: names[0]!.from, to: names[0]!.from });
  }
  return names;
}

function orderedPair(names: string[], order: readonly string[]): string[] {
  return names.length === 2 && names.every((name) => order.includes(name)) ? [...order] : names;
}

function isHeatPair(names: readonly string[]): boolean {
  return names.length === 2 && names.includes("cold") && names.includes("hot");
}

/** `rests in` wins; the first of a written list; of positions met in one-liners, off or released, else the first. */
function restOf(draft: Draft, part: PartDraft, positions: readonly { name: string }[], written: boolean): number {
  const rests = propertyNamed(part.items, "rests in");
  const name = namesOfProperty(rests?.node)[0];
  if (rests && name) {
    const index = positions.findIndex((position) => position.name === name.text);
    if (index >= 0) return index;
    draft.find("unknown-position", "error", draft.place(name, rests.file), {
      what: `${part.name} has no position ${name.text}.`,
      advice: "Write one of its positions.",
    });
  }
  if (written) return 0;
  const calm = positions.findIndex(({ name: each }) => each === "off" || each === "released" || each === "cold");
  return Math.max(0, calm);
}

function bindHeat(
  draft: Draft,
  part: PartDraft,
  control: ControlId,
  warmed: ReturnType<typeof propertyNamed>,
  feeds: readonly LoadId[],
): void {
  draft.later(() => {
    const loads = warmed ? pointsOf(warmed.node).flatMap((point) => loadsAt(draft, point, warmed.file)) : feeds;
    const rules = heatRules(part.name, loads, "works");
    const coldFirst = draft.controls[control]!.positions[0]!.name === "cold";
    draft.controls[control]!.changes = coldFirst
      ? rules
      : rules.map((rule): ChangeRule => ({ ...rule, from: rule.to, to: rule.from }));
  }, 1);
}

/** The knob of a level switch, and its memory when it resets at a level of its own. */
function buildKnob(draft: Draft, part: PartDraft, water: ControlId | undefined): void {
  let knob: ControlId | undefined;
  for (const { node, file } of part.items) {
    if (node.item !== "positions" || node.word !== "set" || node.names.length === 0) continue;
    knob = draft.addControl(part, {
      name: `${part.name}.set`,
      role: "level-setting",
      positions: node.names.map((name) => ({ name: name.text, place: draft.place(name, file) })),
      rest: 0,
      settled: false,
      changes: [handRule(`set ${part.name} to {position}`, node.names.length)],
      place: draft.place(node, file),
    });
    tellForeignSettings(draft, part, water, node.names, file);
  }
  const resets = propertyNamed(part.items, "resets");
  if (water === undefined || !resets) return;
  const levels = draft.controls[water]!.positions.map((position) => position.name);
  const named = namesOfProperty(resets.node)[0];
  const low = named ? levels.indexOf(named.text) : -1;
  if (named && low < 0) {
    draft.find("unknown-position", "error", draft.place(named, resets.file), {
      what: `${part.name} has no water level ${named.text}.`,
      advice: "Write one of the levels of its water line.",
    });
  }
  if (low < 0 || knob === undefined) return;
  const settings = draft.controls[knob]!.positions;
  const sets = orConditions(
    ...settings.map((setting, index): Condition => {
      const level = levels.indexOf(setting.name);
      const water0 = maskOf(
        levels.length,
        levels.flatMap((_, i) => (level >= 0 && i >= level && i > low ? [i] : [])),
      );
      if (!water0.includes(1)) return [];
      return [
        [
          { control: knob!, positions: maskOf(settings.length, [index]) },
          { control: water, positions: water0 },
        ],
      ];
    }),
  );
  draft.addControl(part, {
    name: `${part.name}.trip`,
    role: "trip",
    positions: [{ name: "reset" }, { name: "tripped" }],
    rest: 0,
    settled: true,
    rule: {
      rule: "latch",
      sets,
      clears: literalCondition(
        water,
        maskOf(
          levels.length,
          levels.flatMap((_, i) => (i <= low ? [i] : [])),
        ),
      ),
    },
    place: draft.place(resets.node, resets.file),
  });
}

function tellForeignSettings(
  draft: Draft,
  part: PartDraft,
  water: ControlId | undefined,
  names: readonly NameNode[],
  file: string,
): void {
  const levels = water === undefined ? [] : draft.controls[water]!.positions.map((position) => position.name);
  for (const name of names) {
    if (levels.includes(name.text)) continue;
    draft.find("unknown-position", "error", draft.place(name, file), {
      what: `${part.name} has no water level ${name.text} for this setting to trip at.`,
      advice:
        levels.length > 0 ? `Its levels are ${levels.join(", ")}.` : "Write its levels, as in: water empty low high.",
    });
  }
}

// ------------------------------------------------------------ rules that wait for other parts

function bindMainRules(
  draft: Draft,
  part: PartDraft,
  main: ControlId | undefined,
  charted: boolean,
  _feeds: readonly LoadId[],
): void {
  if (main === undefined || charted) return;
  const control = draft.controls[main]!;
  const count = control.positions.length;
  if (control.role === "heat-memory") return;
  if (control.role === "push") {
    const other = control.positions.map((_, i) => i).filter((i) => i !== 0);
    control.changes = [
      { from: maskOf(count, [0]), to: maskOf(count, other), byHand: true, words: `press ${part.name}` },
      { from: maskOf(count, other), to: maskOf(count, [0]), byHand: true, words: `let go of ${part.name}` },
    ];
    return;
  }
  if (control.role === "level") {
    draft.later(() => {
      const fillers = namedOrUsual(draft, part, "filled by", "valve");
      const emptiers = namedOrUsual(draft, part, "emptied by", "pump");
      control.changes = levelRules(part.name, count, fillers, emptiers);
    }, 1);
    return;
  }
  const turn = part.kind === "selector" || part.kind === "control" ? "turn" : "set";
  control.changes = [handRule(`${turn} ${part.name} to {position}`, count)];
  const hand = propertyNamed(part.items, "turned by hand");
  const forward = propertyNamed(part.items, "forward only");
  const node = conditionOf(hand?.node) ?? conditionOf(forward?.node);
  if (!hand && !forward) return;
  draft.later(() => {
    const when = node ? resolveOwn(draft, part, node, (hand ?? forward)!.file) : undefined;
    control.changes = [
      {
        ...handRule(`${turn} ${part.name} to {position}`, count),
        ...(forward ? { by: 1 } : {}),
        ...(when ? { when } : {}),
      },
    ];
  });
}

function namedOrUsual(draft: Draft, part: PartDraft, word: string, kind: string): LoadId[] {
  const named = propertiesNamed(part.items, word);
  if (named.length > 0) {
    return named.flatMap(({ node, file }) => pointsOf(node).flatMap((point) => loadsAt(draft, point, file)));
  }
  return draft.parts
    .filter((other) => other.kind === kind && !other.items.some(({ node }) => node.item === "seat" || isGas(node)))
    .flatMap((other) => other.loads);
}

function isGas(node: { readonly item: string; readonly word?: string }): boolean {
  return node.item === "property" && node.word === "gas";
}

function bindThermal(
  draft: Draft,
  part: PartDraft,
  control: ControlId,
  name: string,
  plan: Parameters<typeof thermalRules>[1],
): void {
  const warmed = propertyNamed(part.items, "warmed by");
  if (!warmed) return;
  draft.later(() => {
    const loads = pointsOf(warmed.node).flatMap((point) => loadsAt(draft, point, warmed.file));
    draft.controls[control]!.changes = thermalRules(name, plan, loads);
  }, 1);
}

function bindPartSenses(draft: Draft, part: PartDraft): void {
  // What warms an overload or limit is what it feels.
  const senses = propertyNamed(part.items, "senses") ?? propertyNamed(part.items, "warmed by");
  draft.later(() => {
    const loads = senses
      ? pointsOf(senses.node).flatMap((point) => loadsAt(draft, point, senses.file))
      : part.at === undefined
        ? []
        : draft.parts.filter((other) => other.at === part.at && other.id !== part.id).flatMap((other) => other.loads);
    if (!senses && loads.length === 0) return;
    for (const id of part.contacts) draft.contacts[id]!.senses ??= loads;
  }, 1);
}

function partDelays(
  draft: Draft,
  part: PartDraft,
  feeds: readonly LoadId[],
  starter: ControlId | undefined,
): { control: ControlId; condition: Condition }[] {
  const delays = (["closes after", "opens after"] as const).flatMap((word) => {
    const time = quantityOf(propertyNamed(part.items, word)?.node, "time");
    return time ? [{ word, time }] : [];
  });
  if (delays.length === 0) return [];
  const gear = { draft, part, feeds, starter } as unknown as Switchgear;
  return [addDelay(gear, `${part.name}.delay`, delays, part.namePlace)];
}

/** `drops heat when WL in empty`: the board opens these contacts by itself. */
function dropRules(draft: Draft, part: PartDraft): ((contact: string | undefined) => Condition | undefined)[] {
  return propertiesNamed(part.items, "drops").map(({ node, file }) => {
    const names = new Set(namesOfProperty(node).map((name) => name.text));
    let resolved: Condition | undefined;
    return (contact) => {
      if (names.size > 0 && (contact === undefined || !names.has(contact))) return undefined;
      const written = conditionOf(node);
      if (!written) return undefined;
      resolved ??= notCondition(resolveOwn(draft, part, written, file));
      return resolved;
    };
  });
}

/** `cycles 45 % in mid` said of the whole part: all its contacts follow one inner on and off there. */
function cycleRules(draft: Draft, part: PartDraft): ((contact: string | undefined) => Condition | undefined)[] {
  const cycles = propertiesNamed(part.items, "cycles");
  if (cycles.length === 0) return [];
  const control = addCycle(draft, part, `${part.name}.cycle`);
  const on = literalCondition(control, maskOf(2, [1]));
  return [
    () => {
      let condition: Condition = [[]];
      for (const { node, file } of cycles) {
        const written = conditionOf(node);
        const here = written ? orConditions(on, notCondition(resolveOwn(draft, part, written, file))) : on;
        condition = andConditions(condition, here);
      }
      return condition;
    },
  ];
}

/** A thermostat works in normal use; one labelled as a high limit is meant as protection and would not count as such. */
function tellNamedLimit(draft: Draft, part: PartDraft): void {
  if (part.kind !== "thermostat" || !part.label || !/\blimit\b|\bcut-?out\b/i.test(part.label)) return;
  draft.find("thermostat-named-limit", "warning", part.namePlace, {
    what: `${part.name} is declared as a thermostat but labelled "${part.label}".`,
    why: "A thermostat works in normal use and is never counted as protection.",
    advice: `If it only opens when something is wrong, declare it as: limit ${part.name}.`,
  });
}
