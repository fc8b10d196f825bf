/**
 * The plain walk: every state from rest, one at a time, nothing shared and nothing clever. Right by being simple; the exact
 * engine must agree with it. Written from MEANING.md alone.
 */

import type { Circuit } from "../../server/circuit/circuit.ts";
import { conditionHolds } from "../../server/circuit/condition.ts";
import { solveState } from "../../server/circuit/solve.ts";
import type { MachineState } from "../../server/machine/machine.ts";
import type {
  Change,
  Engine,
  EngineOptions,
  EngineRun,
  LoadClass,
  MakeEngine,
  Region,
} from "../../server/states/engine.ts";
import { chattersOf } from "./chatter.ts";
import { extremesOf, StepTables } from "./extremes.ts";
import { inputMoves, wordsOf } from "./input-moves.ts";
import { OFF } from "./load-class.ts";
import { PlainRegion } from "./region.ts";
import { stateThat } from "./statement.ts";
import { tiedTo } from "./tied.ts";
import { type FoundState, Walk } from "./walk.ts";

const CLASS_NAMES: readonly LoadClass[] = ["off", "weak", "works", "over"];

/** Walks the machine's states in short jobs; the result is the engine. */
export const makePlainEngine: MakeEngine = function* (circuit: Circuit, options?: EngineOptions): EngineRun {
  const walk = new Walk(circuit, options);
  yield* walk.run();
  const steps = new StepTables(walk);
  const engine = plainEngine(circuit, walk, steps);
  // Asked for every contact of every machine: worth computing in short jobs, too.
  yield* steps.prepare((engine.all() as PlainRegion).bits);
  return engine;
};

function plainEngine(circuit: Circuit, walk: Walk, steps: StepTables): Engine {
  const { machine } = circuit;
  const bitsOf = (region: Region): Uint8Array => {
    if (!(region instanceof PlainRegion) || region.engine !== engine) throw new TypeError("a region of another engine");
    return region.bits;
  };
  const among = (test: (found: FoundState, state: MachineState) => boolean): Region =>
    new PlainRegion(
      engine,
      Uint8Array.from(walk.atRest, (number) => (test(walk.found[number]!, walk.stateOf(number)) ? 1 : 0)),
    );
  const statesOf = (bits: Uint8Array, wanted: 0 | 1): MachineState[] =>
    walk.atRest.flatMap((number, position) => (bits[position] === wanted ? [walk.stateOf(number)] : []));
  const restNumber = (state: MachineState): number => {
    const number = walk.numberOf(state);
    return number >= 0 && walk.found[number]!.atRest ? number : -1;
  };
  /** By look, since nothing but the closed contacts counts. */
  const tiedCache = new Map<string, Uint8Array>();

  const engine: Engine = {
    circuit,
    all: () => all,
    none: () => none,
    when: (load, classes) => among(({ look }) => classes.includes(CLASS_NAMES[look.classes[load]!]!)),
    closed: (contact) => among(({ look }) => look.closed[contact] === 1),
    where: (condition) => among((_, state) => conditionHolds(condition, state)),
    shorted: () => among(({ look }) => look.shorted),
    inSeries: (contact, load) =>
      among(
        ({ look }) =>
          look.closed[contact] === 1 &&
          look.classes[load] !== OFF &&
          walk.looks.classesWithout(look, contact)[load] === OFF,
      ),
    tied: (terminal, leg) =>
      among(({ look }, state) => {
        if (state[machine.supply.control] !== 0) return false;
        const key = `${look.id} ${leg}`;
        let joints = tiedCache.get(key);
        if (joints === undefined) tiedCache.set(key, (joints = tiedTo(circuit, circuit.legJoint[leg]!, look.closed)));
        return joints[circuit.jointOf[terminal]!] === 1;
      }),
    and: (a, b) => combine(bitsOf(a), bitsOf(b), (x, y) => x & y),
    or: (a, b) => combine(bitsOf(a), bitsOf(b), (x, y) => x | y),
    not: (a) =>
      new PlainRegion(
        engine,
        bitsOf(a).map((bit) => 1 - bit),
      ),
    isEmpty: (a) => !bitsOf(a).includes(1),
    count: (a) => bitsOf(a).reduce((sum, bit) => sum + bit, 0),
    has: (a, state) => {
      const number = restNumber(state);
      return number >= 0 && bitsOf(a)[walk.found[number]!.restPosition] === 1;
    },
    witness: (a) => {
      const position = bitsOf(a).indexOf(1);
      return position < 0 ? undefined : walk.stateOf(walk.atRest[position]!).slice();
    },
    extreme: (quantity, care) => extremesOf(walk, quantity, bitsOf(care), steps),
    pathTo: (state) => {
      const number = restNumber(state);
      return number < 0 ? undefined : pathTo(walk, number);
    },
    statement: (a) => stateThat(machine, statesOf(bitsOf(a), 1), statesOf(bitsOf(a), 0)),
    solve: (state) => solveState(circuit, state),
    chatters: () => chattersOf(walk),
    covered: () => ({
      complete: walk.complete,
      missing: walk.complete ? [] : [walk.missing],
      nominal: machine.controls.reduce((product, control) => product * control.positions.length, 1),
      reachable: walk.atRest.length,
    }),
  };
  const combine = (a: Uint8Array, b: Uint8Array, bit: (x: number, y: number) => number): Region =>
    new PlainRegion(
      engine,
      a.map((x, position) => bit(x, b[position]!)),
    );
  const all = among(() => true);
  const none = among(() => false);
  return engine;
}

/** Input moves from the resting vector, by the origins that the walk kept. */
function pathTo(walk: Walk, number: number): Change[] {
  const { machine } = walk.looks.circuit;
  const path: Change[] = [];
  for (let at = number; walk.found[at]!.origin >= 0; at = walk.found[at]!.origin) {
    const after = walk.stateOf(at);
    const before = walk.found[walk.found[at]!.origin]!;
    const move = inputMoves(machine, walk.stateOf(walk.found[at]!.origin), before.look.classes).find(
      (one) => one.position === after[one.control.id],
    )!;
    path.push({ control: move.control.id, position: move.position, words: wordsOf(move) });
  }
  return path.reverse();
}
