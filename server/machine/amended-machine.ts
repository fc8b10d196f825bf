/**
 * A machine of which an edit changed nothing, or what the plate of one load says: taken over from the text before, that load made anew. Such a
 * load decides nothing about anything else; where it might, the machine is made anew as a whole.
 */
import type { Carried } from "../../grammar/reparse.ts";
import { sameButAmounts, sameStatement } from "../../grammar/same-meaning.ts";
import { listOf } from "../../grammar/statement-list.ts";
import type { PartStatement, Statement, Tree } from "../../grammar/tree.ts";
import { buildPart, finishedPart, isPlainLoad, newPart } from "./build-part.ts";
import { Draft } from "./draft.ts";
import type { Load, Machine, Mention, Part, Target, Terminal } from "./machine.ts";
import { type Cut, fieldMoves, Shift } from "./shift.ts";
import { alikeButAmounts, shareStructure } from "./structure.ts";
import { sortMentions } from "./told.ts";

/** What an edit did to the statements that were read again. */
export interface Amendment {
  readonly cut: Cut;
  /** The one that says something else now. */
  readonly part?: { readonly before: PartStatement; readonly now: PartStatement };
}

/** Statements read again at most: more are no keystroke. */
const mostAgain = 6;

/** Undefined when more than the amounts of one part changed. */
export function amendmentOf(tree: Tree, { before: was, by, front, back }: Carried): Amendment | undefined {
  if (back.after - front > mostAgain || back.after !== back.before) return undefined;
  if (was.errors.length > 0 || tree.errors.length > 0) return undefined;
  const [old, now] = [listOf(was), listOf(tree)];
  let part: Amendment["part"];
  let from = front > 0 ? old.at(front - 1).to : 0;
  let to: number | undefined;
  for (let index = front; index < back.before; index++) {
    const [a, b] = [old.at(index), now.at(index)];
    const stays = b.from === a.from && part === undefined && to === undefined;
    if (!stays && b.from !== a.from + by) return undefined;
    if (was.text.slice(a.from, a.to) === tree.text.slice(b.from, b.to) && sameStatement(a, b)) {
      if (stays) from = a.to;
      else to ??= a.from;
      continue;
    }
    const isPart = a.statement === "part" && b.statement === "part";
    if (part || to !== undefined || !isPart || !sameButAmounts(a, b)) return undefined;
    part = { before: a, now: b };
    if (!stays) return undefined;
    from = a.from;
    to = a.to;
  }
  to ??= back.before < old.length ? old.from(back.before) : was.text.length;
  return from <= to ? { cut: { from, to, by }, part } : undefined;
}

/** The machine after an edit in its stretch of the text; undefined when it has to be made anew. */
export function amendedMachine(machine: Machine, tree: Tree, { cut, part }: Amendment): Machine | undefined {
  const own = part && madeAnew(machine, tree, part);
  if (part && !own) return undefined;
  const shift = new Shift(cut, machine.file);
  const { place } = machine;
  const statements = statementsOfNow(machine.tree, tree);
  const amended: Machine = {
    label: machine.label,
    file: machine.file,
    tree,
    place: { file: place.file, from: place.from, to: place.to + cut.by },
    supply: shift.supply(machine.supply),
    parts: shift.each(machine.parts, (each) => (each.id === own?.part.id ? own.part : shift.part(each))),
    terminals: shift.each(machine.terminals, (each) => own?.terminals.get(each.id) ?? shift.placed(each)),
    wires: shift.list(machine.wires),
    controls: fieldMoves.controls(shift, machine.controls),
    contacts: fieldMoves.contacts(shift, machine.contacts),
    loads: shift.each(machine.loads, (each) => own?.loads.get(each.id) ?? shift.load(each)),
    transformers: shift.list(machine.transformers),
    programs: fieldMoves.programs(shift, machine.programs),
    guards: shift.list(machine.guards),
    expectations: shift.list(machine.expectations).map(statements),
    notes: shift.list(machine.notes).map(statements),
    proposals: shift.list(machine.proposals).map(statements),
    benchFindings: shift.list(machine.benchFindings).map(statements),
    mentions: mentionsAround(machine.mentions, own?.mentions ?? [], cut, shift),
    findings: fieldMoves.findings(shift, machine.findings),
  };
  if (!shift.sound) return undefined;
  if (!own || hasStructureOf(own, machine)) shareStructure(amended, machine);
  return amended;
}

/** Terminals have neither amounts nor anything else than what was compared. */
function hasStructureOf({ part, loads }: Own, machine: Machine): boolean {
  return (
    alikeButAmounts(part, machine.parts[part.id]!) &&
    [...loads.values()].every((load) => alikeButAmounts(load, machine.loads[load.id]!))
  );
}

/** One part and what it brings, with the ids that the machine knows it by. */
interface Own {
  readonly part: Part;
  readonly terminals: ReadonlyMap<number, Terminal>;
  readonly loads: ReadonlyMap<number, Load>;
  readonly mentions: readonly Mention[];
}

/** Made by itself, beside the supply. Undefined when it is no plain load, or when it hangs on more than that or has something to tell. */
function madeAnew(machine: Machine, tree: Tree, { before, now }: NonNullable<Amendment["part"]>): Own | undefined {
  const { file } = machine;
  const known = machine.parts.find(({ place }) => place.from === before.from && place.to === before.to);
  if (!known || !now.name || known.name !== now.name.text) return undefined;
  const draft = new Draft(file, tree);
  draft.supply = machine.supply;
  draft.legs.push(...machine.supply.legs);
  for (const { name, terminal } of draft.legs) draft.legNames.set(name, terminal);
  const items = now.items.map((node) => ({ node, file }));
  const namePlace = draft.place(now.name);
  const made = newPart(draft, now.kind.text, known.name, items, draft.place(now), namePlace, {
    label: now.label?.text,
  });
  if (!isPlainLoad(made)) return undefined;
  draft.mention(namePlace, { type: "part", part: made.id }, true);
  buildPart(draft, made);
  const { contacts, controls, wires, transformers, findings } = draft;
  if ([contacts, controls, wires, transformers, findings].some(({ length }) => length > 0) || draft.waits)
    return undefined;
  const owned = known.controls.length + known.contacts.length;
  if (owned > 0 || known.loads.length !== draft.loads.length) return undefined;

  const terminalOf = (id: number): number => known.terminals[id] ?? -1;
  const loadOf = (id: number): number => known.loads[id] ?? -1;
  const terminals = new Map(
    draft.terminals.map((each) => [terminalOf(each.id), { ...each, id: terminalOf(each.id), part: known.id }]),
  );
  const loads = new Map(
    draft.loads.map((each) => {
      const id = loadOf(each.id);
      return [id, { ...each, id, part: known.id, a: terminalOf(each.a), b: terminalOf(each.b) }];
    }),
  );
  for (const [id, { fullName }] of terminals) if (machine.terminals[id]?.fullName !== fullName) return undefined;
  for (const [id, { name, kind, a, b }] of loads) {
    const load = machine.loads[id];
    if (load?.name !== name || load.kind !== kind || load.a !== a || load.b !== b) return undefined;
  }
  const mentions: Mention[] = [];
  for (const mention of sortMentions(draft.mentions)) {
    const target = targetOf(mention.target, known.id, terminalOf, loadOf);
    if (!target) return undefined;
    mentions.push({ ...mention, target });
  }
  const frame = made.frame === undefined ? undefined : terminalOf(made.frame);
  const { id, terminals: all, controls: none, contacts: nor, loads: numbers } = known;
  const part = { ...finishedPart(made), id, terminals: all, controls: none, contacts: nor, loads: numbers, frame };
  return { part, terminals, loads, mentions };
}

function targetOf(
  target: Target,
  part: number,
  terminalOf: (id: number) => number,
  loadOf: (id: number) => number,
): Target | undefined {
  if (target.type === "part") return { type: "part", part };
  if (target.type === "terminal") return { type: "terminal", terminal: terminalOf(target.terminal) };
  if (target.type === "load") return { type: "load", load: loadOf(target.load) };
  return undefined;
}

/** Those in the cut are the ones made anew. */
function mentionsAround(
  mentions: readonly Mention[],
  own: readonly Mention[],
  { from, to }: Cut,
  shift: Shift,
): readonly Mention[] {
  let front = 0;
  while (front < mentions.length && mentions[front]!.place.to <= from) front++;
  let back = front;
  while (back < mentions.length && mentions[back]!.place.from < to) back++;
  if (back - front !== own.length) shift.sound = false;
  if (own.length === 0) return shift.list(mentions);
  return [...mentions.slice(0, front), ...own, ...shift.list(mentions.slice(back))];
}

/**
 * Puts the statement of now in the place of the one that stood for it in an earlier tree.
 *
 * @param by how many statements more are in front of them
 */
export function statementsOfNow(
  was: Tree,
  tree: Tree,
  by = 0,
): <T extends { readonly statement: Statement }>(holder: T) => T {
  const [old, now] = [listOf(was), listOf(tree)];
  return (holder) => ({ ...holder, statement: now.at(old.before(holder.statement.from) + by) });
}
