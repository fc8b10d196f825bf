/**
 * Plain statements of sets: an irredundant OR of ANDs between a set and what it may take in (S. Minato, "Fast generation of
 * prime-irredundant covers from binary decision diagrams", IEICE Trans. E76-A, 1993, carried over to controls with several
 * positions), then widened and thinned until nothing can be left out.
 */
import { idleControls } from "../../machine/idle-controls.ts";
import type { Condition, ControlId, Literal } from "../../machine/machine.ts";
import type { InputStatement } from "../engine.ts";
import type { Answers } from "./answers.ts";
import { EMPTY, FULL, STEPS, type StateSet } from "./diagram.ts";
import type { Space } from "./space.ts";

interface Term {
  /** Positions by control; left out: all. */
  readonly masks: Map<ControlId, Uint8Array>;
  set: StateSet;
}

/** Statements of the sets of one machine. Kept with the answers: an edit of a value leaves most of them as they are. */
export class Statements {
  private readonly space: Space;
  private readonly all: StateSet;
  private readonly answers: Answers;
  private knownIdle: readonly ControlId[] | undefined;
  private knownOrder: string | undefined;

  /** @param all the states that statements are about */
  constructor(space: Space, all: StateSet, answers: Answers) {
    this.space = space;
    this.all = all;
    this.answers = answers;
  }

  /** Decides in which order the terms are told. */
  private get order(): string {
    return (this.knownOrder ??= this.space.order.join());
  }

  private get idle(): readonly ControlId[] {
    return (this.knownIdle ??= [...idleControls(this.space.machine)]);
  }

  /** True in every state of the set, false in every other. */
  of(set: StateSet): Condition {
    const outside = this.space.diagrams.minus(this.all, set);
    return this.kept(set, outside, "all", () => between(this.space, set, outside, Infinity))!;
  }

  /**
   * The same for people, positions that never occur left out.
   *
   * @param most undefined is returned when it takes more terms, and little work is lost on finding that out
   */
  within(set: StateSet, most: number): Condition | undefined {
    // "The igniter heats when the valve's seat is open" may be true and shorter, and is the wrong way round.
    const told = this.idle.length > 0 ? this.without(set, this.idle) : undefined;
    if (told?.decides) return this.possible(told.can, told.outside, most);
    return this.possible(set, this.space.diagrams.minus(this.all, set), most);
  }

  /** Told by inputs alone: true in every state whose inputs stand as in some state of the set. */
  byInputs(set: StateSet, most: number): InputStatement | undefined {
    const settled = this.space.machine.controls.filter((control) => control.settled).map(({ id }) => id);
    const { can, outside, decides } = this.without(set, settled);
    const condition = this.possible(can, outside, most);
    return condition && { condition, decides };
  }

  /** The set with these controls left out, what lies outside of it, and whether the others tell the two apart. */
  private without(set: StateSet, controls: readonly ControlId[]) {
    const { space, all } = this;
    const { diagrams } = space;
    const marks = new Uint8Array(diagrams.arity.length + 1);
    // The step control is marked behind all levels.
    for (const id of controls) marks[Math.min(space.level[id]!, diagrams.arity.length)] = 1;
    const levels = diagrams.levels(marks);
    const can = diagrams.forget(set, levels);
    const outside = diagrams.forget(diagrams.minus(all, can), levels);
    return { can, outside, decides: diagrams.and(can, all) === set };
  }

  private possible(inside: StateSet, outside: StateSet, most: number): Condition | undefined {
    return this.kept(inside, outside, `${most} ${this.all}`, () =>
      between(this.space, inside, outside, most, this.all),
    );
  }

  private kept(
    inside: StateSet,
    outside: StateSet,
    how: string,
    work: () => Condition | undefined,
  ): Condition | undefined {
    return this.answers.statement(inside, outside, `${how} ${this.order}`, () => {
      const condition = work();
      return condition && inOrder(condition, this.space.order);
    });
  }
}

/** Terms by the walk from the first leg, whatever levels the controls have kept from an earlier text. */
function inOrder(condition: Condition, order: readonly ControlId[]): Condition {
  const rank: number[] = [];
  for (const [index, control] of order.entries()) rank[control] = index;
  const sorted = condition.map((term) => ({ term, by: [...term].sort((a, b) => rank[a.control]! - rank[b.control]!) }));
  return sorted.sort((a, b) => before(a.by, b.by, rank)).map(({ term }) => term);
}

/** A term that says something of a control comes before one that does not, lower positions before higher ones. */
function before(a: readonly Literal[], b: readonly Literal[], rank: readonly number[]): number {
  for (let index = 0; index < Math.min(a.length, b.length); index++) {
    const [one, other] = [a[index]!, b[index]!];
    const difference =
      rank[one.control]! - rank[other.control]! || one.positions.indexOf(1) - other.positions.indexOf(1);
    if (difference !== 0) return difference;
  }
  return b.length - a.length;
}

/**
 * True in every state of `inside`, false in every state of `outside`, anything elsewhere.
 *
 * @param possible positions that no state of these stands in are not named
 */
function between(
  space: Space,
  inside: StateSet,
  outside: StateSet,
  most: number,
  possible: StateSet = FULL,
): Condition | undefined {
  if (inside === EMPTY) return [];
  if (outside === EMPTY) return [[]];
  const { diagrams } = space;
  const may = diagrams.not(outside);
  const terms = new Cover(space, SPARE_TIMES * most + SPARE).cover(inside, may)?.terms;
  if (terms === undefined) return undefined;
  for (const term of terms) widen(space, term, may, possible);
  const kept = thin(space, terms, diagrams.and(inside, possible));
  return kept.length > most ? undefined : kept.map((term) => literals(term));
}

/** Widening and thinning leave less of a cover; one with more terms than this is not thinned to few any more. */
const SPARE_TIMES = 4;
const SPARE = 60;

interface Covered {
  readonly terms: Term[];
  readonly set: StateSet;
}

class Cover {
  private readonly space: Space;
  private readonly most: number;
  private readonly known = new Map<number, Map<number, Covered | undefined>>();

  constructor(space: Space, most: number) {
    this.space = space;
    this.most = most;
  }

  /** Terms within `may` that cover `must`, and the set they cover; undefined when there are too many: terms of a part are terms of the whole. */
  cover(must: StateSet, may: StateSet): Covered | undefined {
    if (must === EMPTY) return { terms: [], set: EMPTY };
    if (may === FULL) return { terms: [{ masks: new Map(), set: FULL }], set: FULL };
    let row = this.known.get(must);
    if (row === undefined) this.known.set(must, (row = new Map()));
    let result = row.get(may);
    if (result === undefined) row.set(may, (result = this.work(must, may)));
    return result && { terms: result.terms.map(({ masks, set }) => ({ masks: new Map(masks), set })), set: result.set };
  }

  private work(must: StateSet, may: StateSet): Covered | undefined {
    const { space } = this;
    const { diagrams } = space;
    const level = Math.min(diagrams.levelOf(must), diagrams.levelOf(may));
    if (level === STEPS) {
      const mask = Uint8Array.from({ length: diagrams.stepCount }, (_, step) => (diagrams.hasStep(may, step) ? 1 : 0));
      return { terms: [{ masks: new Map([[space.stepControl, mask]]), set: may }], set: may };
    }
    const control = space.controlAt[level]!;
    const arity = diagrams.arity[level]!;
    const need = Array.from({ length: arity }, (_, p) => diagrams.fix(must, level, p));
    const can = Array.from({ length: arity }, (_, p) => diagrams.fix(may, level, p));
    let shared: StateSet = FULL;
    for (const set of can) shared = diagrams.and(shared, set);
    const terms: Term[] = [];
    let covered: StateSet = EMPTY;
    for (let p = 0; p < arity; p++) {
      // Only what no term that leaves this control out could cover.
      const own = diagrams.minus(need[p]!, shared);
      if (own === EMPTY) continue;
      const part = this.cover(own, can[p]!);
      if (part === undefined || terms.length + part.terms.length > this.most) return undefined;
      for (const term of part.terms) {
        const mask = Uint8Array.from(can, (set) => (diagrams.isSubset(term.set, set) ? 1 : 0));
        if (mask.includes(0)) term.masks.set(control, mask);
        const set = diagrams.and(term.set, diagrams.literal(level, mask));
        terms.push({ masks: term.masks, set });
        covered = diagrams.or(covered, set);
        for (let q = p; q < arity; q++) if (mask[q] === 1) need[q] = diagrams.minus(need[q]!, term.set);
      }
    }
    let open: StateSet = EMPTY;
    for (const set of need) open = diagrams.or(open, set);
    const rest = this.cover(open, shared);
    if (rest === undefined || terms.length + rest.terms.length > this.most) return undefined;
    terms.push(...rest.terms);
    return { terms, set: diagrams.or(covered, rest.set) };
  }
}

function setOf(space: Space, masks: ReadonlyMap<ControlId, Uint8Array>): StateSet {
  const { diagrams } = space;
  let set: StateSet = FULL;
  for (const [control, positions] of masks) set = diagrams.and(set, space.literal({ control, positions }));
  return set;
}

/**
 * Leaves out literals, then adds positions that are possible beside the others, as long as the term stays within `may`. A position that
 * is not possible would stand in the way of others that are; one more position may make others possible, so all are asked again.
 */
function widen(space: Space, term: Term, may: StateSet, possible: StateSet): void {
  const { diagrams } = space;
  for (const control of [...term.masks.keys()]) {
    const mask = term.masks.get(control)!;
    term.masks.delete(control);
    if (!diagrams.isSubset(setOf(space, term.masks), may)) term.masks.set(control, mask);
  }
  const controls = [...term.masks.keys()].sort((a, b) => a - b);
  for (let more = true; more; ) {
    more = false;
    for (const control of controls) {
      const old = term.masks.get(control);
      if (old === undefined) continue;
      term.masks.delete(control);
      const others = setOf(space, term.masks);
      const mask = old.map((on, p) => {
        const there = diagrams.and(others, space.at(control, p));
        return diagrams.meets(there, possible) && (on === 1 || diagrams.isSubset(there, may)) ? 1 : 0;
      });
      const needed = mask.includes(0) && !diagrams.isSubset(others, may);
      if (needed) term.masks.set(control, mask);
      more ||= !needed || mask.some((on, p) => on > old[p]!);
    }
  }
  term.set = setOf(space, term.masks);
}

/** Leaves out terms that the others make needless, smallest first. */
function thin(space: Space, terms: readonly Term[], inside: StateSet): Term[] {
  const { diagrams } = space;
  const unique = terms.filter((term, i) => !terms.some((other, k) => k < i && other.set === term.set));
  let kept = [...unique].sort((a, b) => b.masks.size - a.masks.size);
  for (const term of [...kept]) {
    const others = kept.filter((other) => other !== term);
    let rest = diagrams.and(inside, term.set);
    for (const other of others) rest = diagrams.minus(rest, other.set);
    if (rest === EMPTY) kept = others;
  }
  return unique.filter((term) => kept.includes(term));
}

function literals({ masks }: Term): Literal[] {
  return [...masks].sort(([a], [b]) => a - b).map(([control, positions]) => ({ control, positions }));
}
