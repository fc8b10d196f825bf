/** Parts that switch: timers, selectors, switches, pushes, levels, controls, boards, locks, thermal parts, sensors, relays. */
import type { ContactItem, RatingNode } from "../../grammar/tree.ts";
import { resolveOwn } from "./binding.ts";
import { buildChart, type Chart, tellLooseRows } from "./chart.ts";
import { andConditions, literalCondition, maskOf, notCondition, orConditions } from "./condition-algebra.ts";
import { addContactItem, addCycle, type Switchgear, usualEnds } from "./contacts.ts";
import { addThermal, handRule, thermalRules } from "./controls.ts";
import { addDelay, type Delay } from "./delay.ts";
import type { Draft, InFile, PartDraft } from "./draft.ts";
import { addFeeds } from "./electrical.ts";
import { bindWater, buildKnob } from "./level.ts";
import type { Condition, ContactRole, ControlId, LoadId } from "./machine.ts";
import { controlRoles, mainControl } from "./main-control.ts";
import { loadsAt } from "./points.ts";
import { buildProgram } from "./program.ts";
import {
  conditionOf,
  namesOfProperty,
  normallyClosed,
  pointsOf,
  propertiesNamed,
  propertyNamed,
  quantityOf,
} from "./properties.ts";
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

export function isSwitching(kind: string): boolean {
  return kind in roles || kind in controlRoles || kind === "switch" || kind === "relay" || kind === "sensor";
}

/** Everything a switching part brings. */
export function buildSwitching(draft: Draft, part: PartDraft): void {
  const contacts = contactItems(part);
  const feeds = addFeeds(draft, part);
  const charts = buildCharts(draft, part);
  const facts = thermalFacts(part.items, part.kind, true);
  const main = charts[0]?.control ?? mainControl(draft, part, contacts, feeds, facts !== undefined);
  if (part.kind === "level") buildKnob(draft, part, main);
  const place = part.namePlace;
  const thermalName = main === undefined ? part.name : `${part.name}.thermostat`;
  const thermal = facts ? addThermal(draft, part, thermalName, facts.plan, place) : undefined;
  if (facts && thermal !== undefined) {
    bindThermal(draft, part, thermal, thermalName, facts.plan);
    orderByPlace(draft, part, thermal, facts);
  }
  const relay = feeds.relay;
  const springs = springBack(draft, part, main, relay);
  const gear: Switchgear = {
    draft,
    part,
    role: roles[part.kind] ?? "switching",
    charts,
    rating: partRating(part),
    usual: usualCondition(part, thermal, springs),
    springs,
    also: [
      ...(thermal === undefined ? [] : [{ control: thermal, condition: literalCondition(thermal, maskOf(2, [0])) }]),
      ...(part.kind === "board" && relay !== undefined
        ? [{ control: relay, condition: literalCondition(relay, maskOf(2, [1])) }]
        : []),
    ],
    late: [...dropRules(draft, part), ...cycleRules(draft, part)],
    ownWill: part.kind === "board",
    thermal: facts,
    lone: contacts.length === 1,
    delay: partDelay(draft, part, feeds.loads, relay),
    starter: relay,
    feeds: feeds.loads,
  };
  addContacts(gear, contacts);
  bindPartSenses(draft, part);
  for (const chart of charts) tellLooseRows(draft, part, chart);
  buildProgram(draft, part, charts, feeds.drive, feeds.loads);
  bindMainRules(draft, part, main, charts.length > 0);
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
      let closed = gear.delay ? gear.delay.of(gear.usual) : draft.contacts[id]!.closed;
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

/** Which position closes a contact that says only `normally open` or `normally closed`; undefined for parts of which neither is said. */
function springBack(
  draft: Draft,
  part: PartDraft,
  main: ControlId | undefined,
  relay: ControlId | undefined,
): ((closedAtRest: boolean) => Condition) | undefined {
  const control = part.kind === "relay" ? relay : main;
  if (control === undefined || !["relay", "push", "switch"].includes(part.kind)) return undefined;
  const { positions, rest } = draft.controls[control]!;
  const resting = literalCondition(control, maskOf(positions.length, [rest]));
  return (closedAtRest) => (closedAtRest ? resting : notCondition(resting));
}

function usualCondition(
  part: PartDraft,
  thermal: ControlId | undefined,
  springs: Switchgear["springs"],
): Condition | undefined {
  if (thermal !== undefined) return literalCondition(thermal, maskOf(2, [0]));
  const closedAtRest = normallyClosed(part.items.map(({ node }) => node));
  if (closedAtRest === undefined && part.kind === "switch") return undefined;
  return springs?.(closedAtRest ?? false);
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

// ------------------------------------------------------------ rules that wait for other parts

function bindMainRules(draft: Draft, part: PartDraft, main: ControlId | undefined, charted: boolean): void {
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
    bindWater(draft, part, main);
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

function partDelay(
  draft: Draft,
  part: PartDraft,
  feeds: readonly LoadId[],
  starter: ControlId | undefined,
): Delay | undefined {
  const time = (word: string) => quantityOf(propertyNamed(part.items, word)?.node, "time")?.text;
  const [closes, opens] = [time("closes after"), time("opens after")];
  if (closes === undefined && opens === undefined) return undefined;
  return addDelay({ draft, part, feeds, starter }, `${part.name}.delay`, { closes, opens }, part.namePlace);
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
