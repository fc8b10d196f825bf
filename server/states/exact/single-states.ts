/** Loads in single states, read off their trees of volts: nothing is solved. */
import { loadImpedance } from "../../circuit/arrange.ts";
import type { Circuit } from "../../circuit/circuit.ts";
import type { Complex, Load, LoadId, MachineState } from "../../machine/machine.ts";
import type { StateSet } from "./diagram.ts";
import { conducts } from "./elements.ts";
import type { LoadSets, LoadWork } from "./load-sets.ts";
import type { Shape } from "./shapes.ts";
import type { StateFinder } from "./state-finder.ts";

/** States of a list as the trees see them, kept as long as the list lives. */
interface Listed {
  /** What tells which states are meant by sets: the controls and where they stand in the diagrams. */
  readonly finder: StateFinder;
  readonly live: StateSet;
  /** For each state whether it is in `live`. */
  readonly isLive: Uint8Array;
  /** By shape, for each state: its end. A shape says nothing of watts, so that an edit of them leaves the ends as they were. */
  readonly ends: WeakMap<Shape, Int32Array>;
}

const lists = new WeakMap<readonly MachineState[], Listed>();

export class SingleStates {
  private readonly circuit: Circuit;
  private readonly finder: StateFinder;
  private readonly trees: LoadSets["trees"];
  private readonly supplyOn: StateSet;
  private readonly live: StateSet;
  /** Half-waves are told apart in whole solutions only. */
  private readonly told: boolean;

  constructor({ circuit, space, live }: LoadWork, { trees }: LoadSets, supplyOn: StateSet) {
    this.circuit = circuit;
    this.finder = space.finder;
    this.trees = trees;
    this.supplyOn = supplyOn;
    this.live = live;
    this.told = circuit.machine.loads.every(({ kind }) => kind !== "diode");
  }

  /** Volts of a load that conducts in the state, V; undefined where only a solution tells. */
  volts(load: LoadId, state: MachineState): Complex | undefined {
    if (!this.told || !conducts(loadImpedance(this.circuit.machine.loads[load]!, state))) return undefined;
    if (!this.finder.has(this.supplyOn, state)) return { re: 0, im: 0 };
    if (!this.finder.has(this.live, state)) return undefined;
    const tree = this.trees[load]!;
    return tree.phasorAt(~endOf(tree.shape, this.finder, state));
  }

  /**
   * Watts that all loads take in each state, NaN where only a solution tells.
   *
   * @param states never changed: of a list asked for again only what is new is looked for
   */
  watts(states: readonly MachineState[]): Float64Array {
    const { circuit, finder, supplyOn, trees, told } = this;
    if (!told) return new Float64Array(states.length).fill(Number.NaN);
    const listed = this.listed(states);
    const sums = Float64Array.from(states, (state, at) =>
      listed.isLive[at] === 1 || !finder.has(supplyOn, state) ? 0 : Number.NaN,
    );
    for (const load of circuit.machine.loads) {
      const { shape, sizes } = trees[load.id]!;
      const ends = endsOf(listed, shape, states);
      for (let at = 0; at < states.length; at++) {
        const volts = sizes[ends[at]!]!;
        // The rest of a tree is about states that are not live.
        if (volts !== 0 && listed.isLive[at] === 1) sums[at]! += volts * volts * siemensOf(load, states[at]!);
      }
    }
    return sums;
  }

  private listed(states: readonly MachineState[]): Listed {
    const { finder, live } = this;
    const known = lists.get(states);
    if (known?.finder === finder && known.live === live) return known;
    const isLive = Uint8Array.from(states, (state) => (finder.has(live, state) ? 1 : 0));
    const listed: Listed = { finder, live, isLive, ends: new WeakMap() };
    lists.set(states, listed);
    return listed;
  }
}

function endsOf({ finder, ends }: Listed, shape: Shape, states: readonly MachineState[]): Int32Array {
  let known = ends.get(shape);
  if (!known) ends.set(shape, (known = Int32Array.from(states, (state) => endOf(shape, finder, state))));
  return known;
}

/** Number of the end that the decisions of a shape come to in a state. */
function endOf({ tests, yes, no, root }: Shape, finder: StateFinder, state: MachineState): number {
  let at = root;
  while (at >= 0) at = finder.has(tests[at]!, state) ? yes[at]! : no[at]!;
  return ~at;
}

/** What turns the square of a load's volts into watts: its conductance in the state, 0 where it does not conduct. */
function siemensOf(load: Load, state: MachineState): number {
  const z = loadImpedance(load, state);
  if (!z || !conducts(z)) return 0;
  const square = z.re * z.re + z.im * z.im;
  return square > 0 ? z.re / square : 0;
}
