/** Conditions of the text to conditions on controls. */
import type { ConditionNode, PositionNode, TermNode } from "../../grammar/tree.ts";
import { always, andConditions, literalCondition, maskCount, maskOf, orConditions } from "./condition-algebra.ts";
import type { Condition, Control, ControlId, Machine } from "./machine.ts";
import { type NamesView, namesOf } from "./names-view.ts";
import { knowsWord, positionMask } from "./positions.ts";

/** Why a term could not be resolved. */
export type TermFault =
  | { readonly fault: "unknown-part"; readonly name: string }
  | { readonly fault: "no-positions"; readonly name: string }
  | { readonly fault: "unknown-position"; readonly controls: readonly Control[]; readonly node: PositionNode };

export interface TermWatcher {
  fault?(term: TermNode, fault: TermFault): void;
  /** A position word that was understood, and what it stands for. */
  position?(node: PositionNode, control: Control, mask: Uint8Array): void;
  subject?(term: TermNode, part: string): void;
}

const resting = /^(below|above) (.+)$/;

/** `below set`, `above mid`: a comparison in the order of the water levels. */
function comparison(view: NamesView, controls: readonly ControlId[], text: string): Condition | undefined {
  const match = resting.exec(text);
  if (!match) return undefined;
  const all = controls.map((id) => view.controls[id]!);
  const water = all.find((control) => control.role === "level");
  if (!water) return undefined;
  const below = match[1] === "below";
  if (match[2] === "set") {
    const trip = all.find((control) => control.role === "trip");
    if (trip) return literalCondition(trip.id, maskOf(2, [below ? 0 : 1]));
    const knob = all.find((control) => control.role === "level-setting");
    if (!knob) return undefined;
    return orConditions(
      ...knob.positions.map((setting, index) => {
        const level = water.positions.findIndex((position) => position.name === setting.name);
        return andConditions(
          literalCondition(knob.id, maskOf(knob.positions.length, [index])),
          compared(water, level, below),
        );
      }),
    );
  }
  const level = water.positions.findIndex((position) => position.name === match[2]);
  return level < 0 ? undefined : below ? compared(water, level, true) : compared(water, level + 1, false);
}

/** Water below `level`, or at and above it. */
function compared(water: Control, level: number, below: boolean): Condition {
  const mask = Uint8Array.from(water.positions, (_, index) => (index < level === below ? 1 : 0));
  return literalCondition(water.id, mask);
}

/**
 * One term. `own` names the part that a term without a subject is about. Undefined when it cannot be resolved, which the
 * watcher is told.
 */
export function resolveTerm(
  view: NamesView,
  term: TermNode,
  own: string | undefined,
  watcher: TermWatcher = {},
): Condition | undefined {
  const name = term.subject?.part?.text ?? own;
  if (name === undefined) return undefined;
  const inner = term.subject?.terminal?.text;
  let controls = view.controlsOf(name);
  if (!controls) {
    watcher.fault?.(term, { fault: "unknown-part", name });
    return undefined;
  }
  watcher.subject?.(term, name);
  if (inner !== undefined) {
    const named = view.controlNamed(`${name}.${inner}`);
    controls = named === undefined ? [] : [named];
  }
  if (controls.length === 0) {
    watcher.fault?.(term, { fault: "no-positions", name: inner === undefined ? name : `${name}.${inner}` });
    return undefined;
  }
  if (term.positions.length === 0) return undefined;
  const only = term.positions.length === 1 ? term.positions[0]!.name?.text : undefined;
  const compare = only === undefined ? undefined : comparison(view, controls, only);
  if (compare) return compare;

  const candidates = controls.map((id) => view.controls[id]!);
  // Several seats of one valve: gas flows when all are open, and is off when any is shut.
  const seats = candidates.filter((control) => control.role === "valve");
  if (seats.length > 1 && term.positions.every((node) => knowsWord(seats[0]!, node))) {
    const masks = seats.map((seat) => masksOf(seat, term.positions, watcher));
    const opened = masks[0]!.length === 2 && masks[0]![1] === 1;
    const each = seats.map((seat, index) => literalCondition(seat.id, masks[index]!));
    return opened ? andConditions(...each) : orConditions(...each);
  }
  const control =
    candidates.find((each) => term.positions.every((node) => knowsWord(each, node))) ??
    candidates.find((each) => term.positions.some((node) => knowsWord(each, node)));
  if (!control) {
    watcher.fault?.(term, { fault: "unknown-position", controls: candidates, node: term.positions[0]! });
    return undefined;
  }
  const mask = new Uint8Array(control.positions.length);
  let understood = false;
  for (const node of term.positions) {
    const part = positionMask(control, node);
    if (maskCount(part) === 0) {
      watcher.fault?.(term, { fault: "unknown-position", controls: [control], node });
      continue;
    }
    understood = true;
    watcher.position?.(node, control, part);
    for (let i = 0; i < mask.length; i++) mask[i]! |= part[i]!;
  }
  return understood ? literalCondition(control.id, mask) : undefined;
}

function masksOf(control: Control, nodes: readonly PositionNode[], watcher: TermWatcher): Uint8Array {
  const mask = new Uint8Array(control.positions.length);
  for (const node of nodes) {
    const part = positionMask(control, node);
    watcher.position?.(node, control, part);
    for (let i = 0; i < mask.length; i++) mask[i]! |= part[i]!;
  }
  return mask;
}

/** A whole condition; terms that cannot be resolved are left out. Nothing written is `always`. */
export function resolveNode(view: NamesView, node: ConditionNode, own?: string, watcher?: TermWatcher): Condition {
  if (node.clauses.length === 0) return always;
  return orConditions(
    ...node.clauses.map((terms) =>
      andConditions(...terms.map((term) => resolveTerm(view, term, own, watcher) ?? always)),
    ),
  );
}

/** Resolves a condition written anywhere in the machine's text; terms that cannot be resolved are left out of it. */
export function resolveCondition(machine: Machine, condition: ConditionNode, own?: string): Condition {
  return resolveNode(namesOf(machine), condition, own);
}
