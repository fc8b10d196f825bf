/**
 * Volts of joints as sums: the volts of a leg, and those of the loads on the way from there. In each state every joint that a leg
 * feeds has one way, made of closed contacts and loads that conduct; ways of one state never go through a load in both
 * directions. A joint that nothing leads to floats and is at 0 V (MEANING.md, 19).
 */
import type { Circuit } from "../../circuit/circuit.ts";
import { type Diagrams, EMPTY, FULL, type StateSet } from "./diagram.ts";
import { edgesAt } from "./edges-at.ts";
import { conducts } from "./elements.ts";
import type { LoadWork } from "./load-sets.ts";
import type { Case } from "./search.ts";

/** How ways come to a joint in the states of `set`: from another joint, through a load or (-1) a contact. */
interface Way {
  readonly from: number;
  readonly load: number;
  set: StateSet;
}

/** States in which the volts of a joint are those of one leg (none: 0 V) and of loads, added (1) or taken away (-1), by id. */
interface Made {
  readonly leg: number;
  readonly loads: ReadonlyMap<number, number>;
  readonly set: StateSet;
}

export class VoltagePaths {
  /** Only what is read later: paths are kept, and hold on to no text. */
  private readonly circuit: Pick<Circuit, "legRe" | "legIm" | "loadA">;
  private readonly diagrams: Diagrams;
  private readonly fed: (load: number) => StateSet;
  /** By joint: states in which contacts tie it to a leg (that leg's volts), by leg; each state counted once. */
  private readonly tied: StateSet[][];
  private readonly ways: Way[][];
  private readonly made: (readonly Made[] | undefined)[] = [];

  /** @param fed states in which a load has any volts and conducts */
  constructor(work: LoadWork, fed: (load: number) => StateSet) {
    const { legRe, legIm, loadA } = work.circuit;
    this.circuit = { legRe, legIm, loadA };
    this.diagrams = work.space.diagrams;
    const fedSets = work.circuit.machine.loads.map(({ id }) => fed(id));
    this.fed = (load) => fedSets[load]!;
    const { circuit, space, closed } = work;
    const { diagrams } = space;
    const { contactsAt, loadsAt } = edgesAt(circuit);
    const known = new Int32Array(circuit.jointCount).fill(EMPTY);
    this.ways = Array.from({ length: circuit.jointCount }, () => []);
    this.tied = Array.from({ length: circuit.jointCount }, (_, joint) =>
      Array.from(circuit.legJoint, (_, leg) => {
        const set = diagrams.minus(work.legReach[leg]![joint]!, known[joint]!);
        known[joint] = diagrams.or(known[joint]!, set);
        return set;
      }),
    );
    const waiting = new Set<number>(known.keys());
    const lead = (from: number, to: number, load: number, all: StateSet): void => {
      const set = diagrams.minus(all, known[to]!);
      if (set === EMPTY) return;
      known[to] = diagrams.or(known[to]!, set);
      const way = this.ways[to]!.find((one) => one.from === from && one.load === load);
      if (way === undefined) this.ways[to]!.push({ from, load, set });
      else way.set = diagrams.or(way.set, set);
      waiting.add(to);
    };
    const conducting = circuit.machine.loads.map((load) => space.withImpedance(load, conducts));
    // As few loads as can be are on a way: what contacts join comes first, then one load more.
    while (waiting.size > 0) {
      const changed = new Set<number>();
      for (const joint of waiting) {
        waiting.delete(joint);
        changed.add(joint);
        for (const id of contactsAt[joint]!) {
          const a = circuit.contactA[id]!;
          const other = a === joint ? circuit.contactB[id]! : a;
          lead(joint, other, -1, diagrams.and(known[joint]!, closed[id]!));
        }
      }
      const before = known.slice();
      for (const joint of changed) {
        for (const id of loadsAt[joint]!) {
          const a = circuit.loadA[id]!;
          lead(joint, a === joint ? circuit.loadB[id]! : a, id, diagrams.and(before[joint]!, conducting[id]!));
        }
      }
    }
  }

  /** The volts from joint `b` to joint `a` as sums, in the states of `where` (supply on, no legs tied). */
  between(a: number, b: number, where: StateSet): Case[] {
    const { diagrams } = this;
    const cases = new Map<string, Case & { pairs: [StateSet, StateSet][] }>();
    const { legRe, legIm } = this.circuit;
    const here = (one: Made): boolean => diagrams.meets(where, one.set);
    const seconds = this.madeOf(b).filter(here);
    for (const first of this.madeOf(a)) {
      if (!here(first)) continue;
      for (const second of seconds) {
        // A load on both ways adds nothing to the difference.
        const loads = new Map(first.loads);
        for (const [load, factor] of second.loads) loads.set(load, (loads.get(load) ?? 0) - factor);
        const adds: Case["adds"][number][] = [];
        let key = "";
        for (const [load, factor] of loads.size > 1 ? [...loads].sort(([p], [q]) => p - q) : loads) {
          if (factor === 0) continue;
          adds.push({ load, yRe: factor, yIm: 0, fed: this.fed(load) });
          key += `${load} ${factor} `;
        }
        const re = (legRe[first.leg] ?? 0) - (legRe[second.leg] ?? 0);
        const im = (legIm[first.leg] ?? 0) - (legIm[second.leg] ?? 0);
        key += `${re} ${im}`;
        const known = cases.get(key);
        if (known === undefined) cases.set(key, { re, im, adds, pairs: [[first.set, second.set]] });
        else known.pairs.push([first.set, second.set]);
      }
    }
    return [...cases.values()];
  }

  private madeOf(joint: number): readonly Made[] {
    const known = this.made[joint];
    if (known !== undefined) return known;
    const { diagrams } = this;
    const made = new Map<string, Made>();
    const add = (leg: number, loads: ReadonlyMap<number, number>, set: StateSet): void => {
      const key = `${leg} ${[...loads].join(" ")}`;
      made.set(key, { leg, loads, set: diagrams.or(made.get(key)?.set ?? EMPTY, set) });
    };
    const visit = (at: number, all: StateSet, loads: ReadonlyMap<number, number>): StateSet => {
      let left = all;
      this.tied[at]!.forEach((tied, leg) => {
        const set = left === EMPTY ? EMPTY : diagrams.and(left, tied);
        if (set === EMPTY) return;
        left = diagrams.minus(left, set);
        add(leg, loads, set);
      });
      for (const { from, load, set: of } of this.ways[at]!) {
        if (left === EMPTY) break;
        const here = diagrams.and(left, of);
        if (here === EMPTY) continue;
        left = diagrams.minus(left, here);
        // Volts of a load are those of its first terminal against its second.
        visit(from, here, load < 0 ? loads : new Map(loads).set(load, this.circuit.loadA[load] === from ? -1 : 1));
      }
      return left;
    };
    const floating = visit(joint, FULL, new Map());
    if (floating !== EMPTY) add(-1, new Map(), floating);
    return (this.made[joint] = [...made.values()]);
  }
}
