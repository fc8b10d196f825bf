/**
 * Which edits bring a danger: found by leaving edits out and looking at every state again. A set of edits causes a danger when it
 * alone brings it and no part of the set does. Edits that cannot stand without the one left out (a wire to a part that is not added)
 * go with it.
 */
import type { ProposalEdit, ProposalStatement, Tree } from "../../grammar/tree.ts";
import type { Place } from "../base/place.ts";
import { checks } from "../checks/registry.ts";
import { runChecks } from "../checks/run-checks.ts";
import { buildCircuit } from "../circuit/build.ts";
import type { Locate, Machine } from "../machine/index.ts";
import { EngineMemory, engineForChanged, makeExactEngine } from "../states/exact/exact-engine.ts";
import { type Applied, applyProposal, type Proposed } from "./apply.ts";
import type { ComparisonMemory } from "./comparison-memory.ts";
import { differenceOf, type Side } from "./difference.ts";
import { labelPlace } from "./label-place.ts";
import { type VerdictLine, verdictOf } from "./verdict.ts";

/** An edit by its place: which of the proposals carried out (0 is the one that was asked for), and which of its edits. */
export interface EditNumber {
  readonly proposal: number;
  readonly edit: number;
  /** Of another proposal: which `with` of the asked one brings it. */
  readonly by?: number;
}

/** By the key of a line: the sets of edits that bring it, each by itself. A key that is missing was not looked into. */
export type Causes = ReadonlyMap<string, readonly (readonly EditNumber[])[]>;

/** More edits than this are not left out one by one: every one costs an analysis of the machine. */
const mostEdits = 16;
const laterBudget = 5_000;

export interface CauseQuestion {
  readonly base: Machine;
  readonly files: ReadonlyMap<string, Tree>;
  readonly proposed: Proposed;
  readonly locate?: Locate;
  /** The base with all its findings. */
  readonly before: Side;
  readonly lines: readonly VerdictLine[];
  /** What fewer edits of this base bring, kept from one version of the proposal to the next. */
  readonly brought?: Map<string, ReadonlySet<string>> | undefined;
  readonly memory?: ComparisonMemory | undefined;
}

/** Sets of edits that are remembered. */
const mostKept = 300;

export function* causesOf(question: CauseQuestion, whole: Applied): Generator<void, Causes> {
  const keys = [...new Set(question.lines.flatMap(({ key }) => key ?? []))];
  const edits = whole.edits.map(({ edit }) => edit).filter(({ edit }) => edit !== "rename");
  const causes = new Map<string, readonly (readonly EditNumber[])[]>();
  if (keys.length === 0 || edits.length === 0 || edits.length > mostEdits) return causes;
  const search = new Search(question, edits);
  for (const key of keys) {
    const sets = edits.length === 1 ? [new Set(edits)] : yield* search.causes(key);
    causes.set(
      key,
      sets.map((set) => [...set].map((edit) => numberOf(whole, edit))),
    );
  }
  return causes;
}

/** `Caused by: jumper HL.1 to HL.2.` */
export function causeWords(sets: readonly (readonly EditNumber[])[], whole: Applied): string | undefined {
  if (whole.edits.length < 2 || sets.length === 0) return undefined;
  const words = ({ proposal, edit }: EditNumber) => {
    const node = whole.proposals[proposal]!.edits[edit]!;
    return whole.edits
      .find((each) => each.edit === node)!
      .text.split("\n")[0]!
      .replace(/\s+/g, " ")
      .trim();
  };
  if (sets.length > 1)
    return `Caused by each of these: ${sets.map((set) => set.map(words).join(" with ")).join("; ")}.`;
  const [set] = sets as [readonly EditNumber[]];
  return `Caused ${set.length > 1 ? "together " : ""}by: ${set.map(words).join("; ")}.`;
}

function numberOf({ proposals }: Applied, edit: ProposalEdit): EditNumber {
  const proposal = proposals.findIndex(({ edits }) => edits.includes(edit));
  const own = proposals[proposal]!;
  const number = { proposal, edit: own.edits.indexOf(edit) };
  if (proposal === 0) return number;
  const leads = (label: string): boolean => {
    const one = proposals.find((each) => each.label?.text === label);
    return one === own || (one?.with.some(({ text }) => leads(text)) ?? false);
  };
  return { ...number, by: proposals[0]!.with.findIndex(({ text }) => leads(text)) };
}

/** Where an edit stands; one of a proposal that this one stands on is told at the `with` that brings it, else at the label. */
export function editPlace(statement: ProposalStatement, file: string, { proposal, edit, by = -1 }: EditNumber): Place {
  const own = proposal === 0 ? statement.edits[edit] : (statement.with[by] ?? statement.label);
  return own ? { file, from: own.from, to: own.to } : labelPlace(statement, file);
}

type Edits = ReadonlySet<ProposalEdit>;

class Search {
  readonly #known: Map<string, ReadonlySet<string>>;
  readonly #memory: EngineMemory;
  readonly #wanted: ReadonlySet<string>;

  constructor(
    private readonly question: CauseQuestion,
    private readonly all: readonly ProposalEdit[],
  ) {
    this.#known = question.brought ?? new Map();
    this.#memory = question.memory?.fewer ?? new EngineMemory();
    if (this.#known.size > mostKept) this.#known.clear();
    const ids = new Set(question.lines.flatMap(({ finding }) => finding?.id ?? []));
    this.#wanted = new Set(checks.map(({ id }) => id).filter((id) => ids.has(id)));
  }

  *causes(key: string): Generator<void, readonly Edits[]> {
    const needed = new Set<ProposalEdit>();
    for (const edit of this.all)
      if (!(yield* this.brought(new Set(this.all.filter((one) => one !== edit)))).has(key)) needed.add(edit);
    // What every cause must hold is the cause when it brings the danger by itself.
    if (needed.size > 0 && (yield* this.brought(needed)).has(key)) return [needed];
    const alone: Edits[] = [];
    for (const edit of this.all) {
      const set = new Set([edit]);
      if (needed.size === 0 && (yield* this.brought(set)).has(key)) alone.push(set);
    }
    return alone.length > 0 ? alone : [yield* this.smallest(key, needed)];
  }

  /** Edits are left out one after the other as long as the danger stays. */
  *smallest(key: string, needed: Edits): Generator<void, Edits> {
    let set: Edits = new Set(this.all);
    for (const edit of this.all) {
      if (needed.has(edit)) continue;
      const less = new Set([...set].filter((one) => one !== edit));
      if ((yield* this.brought(less)).has(key)) set = less;
    }
    return set;
  }

  /** Keys of the dangers that these edits bring; none where they cannot be done at all. */
  *brought(wanted: Edits): Generator<void, ReadonlySet<string>> {
    const { base, files, proposed, locate, before } = this.question;
    let edits = wanted;
    let applied = applyProposal(base, files, proposed, locate, edits);
    // Those that cannot be done without what was left out are left out too.
    while (!applied.machine) {
      const failed = new Set(applied.findings.map(({ place }) => `${place.file} ${place.from}`));
      const left = applied.edits.filter(
        ({ edit, place }) => edits.has(edit) && !failed.has(`${place.file} ${place.from}`),
      );
      if (left.length === edits.size) return new Set();
      edits = new Set(left.map(({ edit }) => edit));
      applied = applyProposal(base, files, proposed, locate, edits);
    }
    const done = applied.edits.map(({ text }) => text);
    const name = [...this.#wanted, "", ...done].join("\n");
    const known = this.#known.get(name);
    if (known) return known;
    yield;
    const engine = yield* makeExactEngine(buildCircuit(applied.machine), { memory: this.#memory });
    const analyse = (machine: Machine) =>
      engineForChanged(engine, machine, { memory: this.#memory, budget: laterBudget });
    const some = checks.filter(({ id }) => this.#wanted.has(id));
    const findings = some.length > 0 ? yield* runChecks(engine, { analyse, checks: some }) : [];
    const difference = yield* differenceOf(before, { engine, findings }, applied.renames, { dangers: true });
    const found = new Set(verdictOf(difference).lines.flatMap(({ key }) => key ?? []));
    this.#known.set(name, found);
    return found;
  }
}
