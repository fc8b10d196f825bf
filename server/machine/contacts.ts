/** Contacts of switching parts: terminals, when they are closed, ratings. */
import type { ContactItem, NameNode, PositionNode, RatingNode, TermNode } from "../../grammar/tree.ts";
import { resolveOwn, resolveTermOwn } from "./binding.ts";
import { type Chart, chartCondition } from "./chart.ts";
import { andConditions, literalCondition, maskOf, never, notCondition, orConditions } from "./condition-algebra.ts";
import { addThermal, thermalRules } from "./controls.ts";
import { addDelay, type Delay } from "./delay.ts";
import type { Draft, InFile, PartDraft } from "./draft.ts";
import type { Condition, ContactId, ContactRole, ControlId, LoadId, TerminalId } from "./machine.ts";
import { loadsAt } from "./points.ts";
import { conditionOf, normallyClosed, pointsOf, quantitiesOf, quantityOf } from "./properties.ts";
import { ratingPoints } from "./ratings.ts";
import { type ThermalFacts, thermalFacts } from "./thermal-facts.ts";

/** What the contacts of one part share. */
export interface Switchgear {
  readonly draft: Draft;
  readonly part: PartDraft;
  readonly role: ContactRole;
  readonly charts: readonly Chart[];
  readonly rating?: InFile<RatingNode>;
  /** Condition of a contact that says nothing itself; undefined: it has to say something. */
  readonly usual?: Condition;
  /** Condition of a contact that is said to be closed, or open, at rest; undefined for parts of which that is not said. */
  readonly springs?: ((closedAtRest: boolean) => Condition) | undefined;
  /** Holds for every contact beside its own condition, unless that already asks the same control. */
  readonly also: readonly { readonly control: ControlId; readonly condition: Condition }[];
  /** Conditions said of the whole part that are resolved late (`drops heat when ...`), by contact name. */
  readonly late: readonly ((contact: string | undefined) => Condition | undefined)[];
  /** Board relays that nothing else decides are on or off by the board's own will. */
  readonly ownWill: boolean;
  readonly thermal?: ThermalFacts;
  /** True when the part has one contact item; left out: not looked at. */
  readonly lone?: boolean;
  /** Said of the whole part, for contacts without one of their own. */
  readonly delay?: Delay;
  /** The control that a delay starts from (a relay's coil), when there is one. */
  readonly starter?: ControlId;
  readonly feeds: readonly LoadId[];
}

function terminal(gear: Switchgear, node: NameNode, file: string): TerminalId {
  const { draft, part } = gear;
  const known = part.terminalNames.get(node.text);
  const place = draft.place(node, file);
  const id = draft.addTerminal(part, node.text, place);
  draft.mention(place, { type: "terminal", terminal: id }, known === undefined);
  return id;
}

/** Terminals 1 and 2 of a part that names none. */
export function usualEnds(
  draft: Draft,
  part: PartDraft,
  names: readonly [string, string] = ["1", "2"],
): [TerminalId, TerminalId] {
  return [draft.addTerminal(part, names[0], part.namePlace), draft.addTerminal(part, names[1], part.namePlace)];
}

/** Adds what one contact item says: one contact, or two for a changeover. Conditions are bound once all parts are known. */
export function addContactItem(gear: Switchgear, item: ContactItem, file: string, alone: boolean): ContactId[] {
  const { draft, part } = gear;
  if (!item.common || item.throws.length === 0) return [];
  const common = terminal(gear, item.common, file);
  const twoWay = item.throws.length > 1;
  if (item.name && part.contactNames.has(item.name.text)) {
    draft.find("duplicate-name", "error", draft.place(item.name, file), {
      what: `${part.name} has two contacts called ${item.name.text}.`,
      advice: "Give each contact its own name, or leave the name out.",
      related: [
        {
          place: draft.contacts[part.contactNames.get(item.name.text)![0]!]!.namePlace,
          text: `the first ${item.name.text}`,
        },
      ],
    });
  }
  const ratings = item.rating
    ? ratingPoints(draft, item.rating, file)
    : gear.rating
      ? ratingPoints(draft, gear.rating.node, gear.rating.file)
      : [];
  const ids: ContactId[] = [];
  let delay = gear.delay;
  item.throws.slice(0, 2).forEach((throwNode, index) => {
    const b = terminal(gear, throwNode, file);
    const base = item.name ? `${part.name}.${item.name.text}` : `${part.name}.${item.common!.text}-${throwNode.text}`;
    const name = item.name && twoWay ? `${base} to ${throwNode.text}` : !item.name && alone ? part.name : base;
    const ohms = quantityOf(propertyOf(item, "resistance"), "resistance")?.value ?? 0;
    const id = draft.addContact(
      part,
      {
        name,
        a: common,
        b,
        closed: never,
        role: gear.role,
        ratings,
        ohms,
        leaks: quantityOf(propertyOf(item, "leaks"), "current")?.value,
        ...gear.thermal?.contact,
        place: draft.place(item, file),
        namePlace: item.name ? draft.place(item.name, file) : draft.place(item.common!, file),
      },
      item.name?.text ?? `${item.common!.text}-${throwNode.text}`,
    );
    ids.push(id);
    if (index === 0) delay = delayOf(gear, item, draft.contacts[id]!.name, file) ?? delay;
    bindClosed(gear, item, file, id, index as 0 | 1, delay);
  });
  if (ids.length === 2) {
    draft.contacts[ids[0]!]!.partner = ids[1];
    draft.contacts[ids[1]!]!.partner = ids[0];
  }
  if (item.name && ids[0] !== undefined) {
    draft.mention(draft.place(item.name, file), { type: "contact", contact: ids[0] }, true);
    if (part.terminalNames.has(item.name.text)) tellClash(gear, item.name, file);
  }
  noteRow(gear, item, ids);
  bindSenses(draft, item, file, ids);
  return ids;
}

function tellClash(gear: Switchgear, name: NameNode, file: string): void {
  const { draft, part } = gear;
  draft.find("name-clash", "error", draft.place(name, file), {
    what: `${part.name} has a terminal and a contact that are both called ${name.text}.`,
    why: `${part.name}.${name.text} could mean either.`,
    advice: "Give the contact another name; the terminal keeps what is stamped on the part.",
    related: [
      { place: gear.draft.terminals[part.terminalNames.get(name.text)!]!.place, text: `the terminal ${name.text}` },
    ],
  });
}

function noteRow(gear: Switchgear, item: ContactItem, ids: readonly ContactId[]): void {
  for (const chart of gear.charts) {
    const name = rowName(chart, item);
    const row = name === undefined ? undefined : chart.rows.get(name);
    if (name === undefined || !row) continue;
    chart.used.add(name);
    for (const id of ids) gear.draft.contacts[id]!.chartRow = row.index;
    if (ids[0] !== undefined) {
      gear.draft.mention(gear.draft.place(row.row.name, chart.source.file), { type: "contact", contact: ids[0] });
    }
  }
}

/** A row answers to the contact's name, or for one without a name to its terminals, `1-4`. */
function rowName(chart: Chart, item: ContactItem): string | undefined {
  if (item.name) return chart.rows.has(item.name.text) ? item.name.text : undefined;
  return item.throws.map((each) => `${item.common?.text}-${each.text}`).find((name) => chart.rows.has(name));
}

function propertyOf(item: ContactItem, word: string) {
  return item.properties.find((property) => property.word === word);
}

function bindSenses(draft: Draft, item: ContactItem, file: string, ids: readonly ContactId[]): void {
  const senses = propertyOf(item, "senses");
  if (!senses) return;
  draft.later(() => {
    const loads = pointsOf(senses).flatMap((point) => loadsAt(draft, point, file));
    for (const id of ids) draft.contacts[id]!.senses = loads;
  }, 1);
}

/** A term about the part itself. */
function ownTerm(positions: readonly PositionNode[], item: ContactItem): TermNode {
  return { positions, from: positions[0]?.from ?? item.from, to: positions[positions.length - 1]?.to ?? item.to };
}

function bindClosed(
  gear: Switchgear,
  item: ContactItem,
  file: string,
  id: ContactId,
  index: 0 | 1,
  delay: Delay | undefined,
): void {
  const { draft, part } = gear;
  const extra = contactControls(gear, item, id, index, file);
  draft.later(() => {
    const own = ownCondition(gear, item, file, index, id, delay !== undefined);
    let closed = own ?? never;
    if (delay) closed = index === 0 ? delay.of(own) : notCondition(delay.of(own && notCondition(own)));
    for (const { control, condition } of [...gear.also, ...extra]) {
      if (!own || !asks(own, control)) closed = andConditions(closed, condition);
    }
    for (const [word, inverted] of [
      ["closes when", false],
      ["opens when", true],
    ] as const) {
      const node = conditionOf(propertyOf(item, word));
      if (!node) continue;
      const condition = resolveOwn(draft, part, node, file);
      closed = andConditions(closed, inverted ? notCondition(condition) : condition);
    }
    for (const late of gear.late) {
      const condition = late(item.name?.text);
      if (condition) closed = andConditions(closed, condition);
    }
    draft.contacts[id]!.closed = closed;
  });
}

function asks(condition: Condition, control: ControlId): boolean {
  return condition.some((clause) => clause.some((literal) => literal.control === control));
}

/** Undefined when nothing is said of a contact that has a delay of its own to go by. */
function ownCondition(
  gear: Switchgear,
  item: ContactItem,
  file: string,
  index: 0 | 1,
  id: ContactId,
  delayed: boolean,
): Condition | undefined {
  const { draft, part } = gear;
  const parts: Condition[] = [];
  let said = false;
  if (item.positions && item.positions.length > 0) {
    said = true;
    const condition = resolveTermOwn(draft, part, ownTerm(item.positions, item), file);
    if (condition) parts.push(condition);
    if (item.openPositions && item.openPositions.length > 0) {
      resolveTermOwn(draft, part, ownTerm(item.openPositions, item), file);
    }
  } else if (item.openPositions && item.openPositions.length > 0) {
    said = true;
    const condition = resolveTermOwn(draft, part, ownTerm(item.openPositions, item), file);
    if (condition) parts.push(notCondition(condition));
  }
  if (item.while) {
    said = true;
    parts.push(resolveOwn(draft, part, item.while, file));
  }
  if (said) {
    // Nothing could be made of the words (that is told): the contact counts as open.
    if (parts.length === 0) return never;
    const all = andConditions(...parts);
    return index === 0 ? all : notCondition(all);
  }
  const rows = gear.charts.flatMap((chart) => {
    const name = rowName(chart, item);
    const row = name === undefined ? undefined : chart.rows.get(name);
    return row ? [{ chart, cells: row.cells }] : [];
  });
  if (rows.length > 0) {
    const twoWay = item.throws.length > 1;
    return andConditions(
      ...rows.map(({ chart, cells }) => {
        const steady = chartCondition(draft, chart, cells, index === 1 ? "2" : twoWay ? "1Xx" : "1Xx2");
        const cycling = index === 1 || !cells.includes("~") ? never : chartCondition(draft, chart, cells, "~");
        if (cycling.length === 0) return steady;
        const control = cycleOf(draft, part, id);
        return orConditions(steady, andConditions(cycling, literalCondition(control, maskOf(2, [1]))));
      }),
    );
  }
  const closedAtRest = normallyClosed(item.properties);
  const usual = closedAtRest === undefined ? gear.usual : gear.springs?.(closedAtRest);
  if (usual) return index === 0 ? usual : notCondition(usual);
  if (gear.ownWill) return ownWill(gear, item, id, index);
  if (delayed && (gear.feeds.length > 0 || gear.starter !== undefined)) return undefined;
  tellUndecided(gear, item, file);
  return never;
}

function ownWill(gear: Switchgear, item: ContactItem, id: ContactId, index: 0 | 1): Condition {
  const { draft, part } = gear;
  const name = draft.contacts[id]!.name.replace(/ to [^ ]+$/, "");
  const known = draft.controlNames.get(name);
  const control =
    known ??
    draft.addControl(part, {
      name,
      role: "board",
      positions: [{ name: "off" }, { name: "on" }],
      rest: 0,
      settled: false,
      changes: [
        { from: Uint8Array.of(1, 1), to: Uint8Array.of(1, 1), words: `${part.name} switches ${name} {position}` },
      ],
      place: draft.place(item),
    });
  return literalCondition(control, maskOf(2, [index === 0 ? 1 : 0]));
}

function tellUndecided(gear: Switchgear, item: ContactItem, file: string): void {
  const { draft, part } = gear;
  const chart = gear.charts.length > 0;
  draft.find("contact-without-condition", "error", draft.place(item, file), {
    what: chart
      ? `The chart of ${part.name} has no row for this contact.`
      : item.throws.length > 1
        ? `It is not said in which position of ${part.name} this contact stands on which side.`
        : `It is not said when this contact of ${part.name} is closed.`,
    why: "Until then it counts as always open.",
    advice: chart
      ? `Add a row ${item.name?.text ?? "with the contact's name"}, or write "closed in" and the steps.`
      : item.throws.length > 1
        ? `Write it as in: ${item.common?.text ?? "1"} to ${item.throws[0]?.text ?? "2"} in shut, else ${item.throws[1]?.text ?? "3"}.`
        : part.kind === "switch" && part.controls.length === 0
          ? "Write the positions of the switch, and in which it is closed: `closed in shut, open in open`. One that springs back is a `push`."
          : `Write "in" and the positions in which it is closed.`,
  });
}

/** An inner on/off of a contact that cycles: an infinite switch, or `~` in a chart. */
function cycleOf(draft: Draft, part: PartDraft, id: ContactId): ControlId {
  const contact = draft.contacts[id]!;
  return addCycle(draft, part, contact.name === part.name ? `${part.name}.cycle` : `${contact.name}.cycle`);
}

export function addCycle(draft: Draft, part: PartDraft, name: string): ControlId {
  return draft.addControl(part, {
    name,
    role: "cycle",
    positions: [{ name: "off" }, { name: "on" }],
    rest: 1,
    settled: false,
    changes: [{ from: Uint8Array.of(1, 1), to: Uint8Array.of(1, 1), words: `${name} goes {position} by itself` }],
    place: part.namePlace,
  });
}

/** Controls that belong to this contact alone: its own thermal element, its cycling. */
function contactControls(
  gear: Switchgear,
  item: ContactItem,
  id: ContactId,
  index: 0 | 1,
  file: string,
): { control: ControlId; condition: Condition }[] {
  if (index === 1) return [];
  const { draft, part } = gear;
  const contact = draft.contacts[id]!;
  const inner = contact.name === part.name ? part.name : contact.name;
  const found: { control: ControlId; condition: Condition }[] = [];
  const facts = thermalFacts(
    item.properties.map((node) => ({ node, file })),
    part.kind,
  );
  if (facts) {
    const control = addThermal(draft, part, inner, facts.plan, draft.place(item, file));
    Object.assign(contact, facts.contact);
    found.push({ control, condition: literalCondition(control, maskOf(2, [0])) });
    bindWarmers(draft, item, file, control, inner, facts);
  }
  const cycles = propertyOf(item, "cycles");
  if (cycles) {
    const control = addCycle(draft, part, `${inner}.cycle`);
    const on = literalCondition(control, maskOf(2, [1]));
    const node = conditionOf(cycles);
    const entry = { control, condition: on };
    if (node) {
      draft.later(() => {
        entry.condition = orConditions(on, notCondition(resolveOwn(draft, part, node, file)));
      });
    }
    found.push(entry);
  }
  return found;
}

/** The delay of this contact alone. */
function delayOf(gear: Switchgear, item: ContactItem, name: string, file: string): Delay | undefined {
  const time = (word: string) => quantitiesOf(propertyOf(item, word), "time")[0]?.text;
  const [closes, opens] = [time("closes after"), time("opens after")];
  if (closes === undefined && opens === undefined) return undefined;
  // A lock that is its delay and nothing else goes by its own name: `LK closed`.
  const { kind, name: own } = gear.part;
  const itself = kind === "lock" && gear.lone && !gear.draft.controlNames.has(own);
  return addDelay(gear, itself ? own : `${name}.delay`, { closes, opens }, gear.draft.place(item, file));
}

function bindWarmers(
  draft: Draft,
  item: ContactItem,
  file: string,
  control: ControlId,
  name: string,
  facts: ThermalFacts,
): void {
  const warmed = propertyOf(item, "warmed by");
  if (!warmed) return;
  draft.later(() => {
    const loads = pointsOf(warmed).flatMap((point) => loadsAt(draft, point, file));
    draft.controls[control]!.changes = thermalRules(name, facts.plan, loads);
  }, 1);
}
