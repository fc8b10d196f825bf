/** A findings block from its lines to what is likely dead and what to read next. */
import { toEnd } from "../base/to-end.ts";
import type { Engine } from "../states/engine.ts";
import type { BenchCase, Observation } from "./case.ts";
import { dutyOf } from "./duty.ts";
import { type Fault, listFaults } from "./faults.ts";
import { planReadings, type ReadingPlan } from "./next-reading.ts";
import { contradictsBelow, type Ranking, rankFaults, type Suspect, supportsFrom } from "./rank.ts";
import { Predictor } from "./reading.ts";

/** Suspects that no reading can tell apart. */
export interface SuspectGroup {
  readonly suspects: readonly Suspect[];
  readonly probability: number;
  /** Indexes of observations that speak for it, and that contradict it. */
  readonly supports: readonly number[];
  readonly contradicts: readonly number[];
}

export interface Diagnosis {
  readonly bench: BenchCase;
  readonly ranking: Ranking;
  /** Likeliest first. */
  readonly groups: readonly SuspectGroup[];
  /** Best first; empty when no reading tells the suspects apart. */
  readonly plans: readonly ReadingPlan[];
  /** The suspects that `plans` speak of by index. */
  readonly asked: readonly Suspect[];
}

const faultLists = new WeakMap<Engine, readonly Fault[]>();

/** Every single fault of the machine with its odds, contacts by their duty. Kept with the engine. */
export function faultsOf(engine: Engine): readonly Fault[] {
  return toEnd(faultJobs(engine));
}

/** The same as jobs of some milliseconds. */
export function* faultJobs(engine: Engine): Generator<void, readonly Fault[]> {
  const known = faultLists.get(engine);
  if (known) return known;
  for (const { id } of engine.circuit.machine.contacts) {
    dutyOf(engine, id);
    yield;
  }
  const faults = listFaults(engine.circuit.machine, (contact) => dutyOf(engine, contact));
  faultLists.set(engine, faults);
  return faults;
}

export function diagnose(engine: Engine, bench: BenchCase): Diagnosis {
  const predictor = new Predictor(engine.circuit, bench.situations);
  return { bench, ...diagnoseWith(predictor, faultsOf(engine), bench.observations) };
}

/** The same with a predictor that remembers what it worked out before. */
export function diagnoseWith(
  predictor: Predictor,
  faults: readonly Fault[],
  observations: readonly Observation[],
): Omit<Diagnosis, "bench"> {
  const ranking = rankFaults(predictor, faults, observations);
  const { suspects } = ranking;
  const { plans, groups } = planReadings(predictor, suspects, observations);
  return {
    ranking,
    groups: groups
      .map((members) =>
        groupOf(
          members.map((i) => suspects[i]!),
          observations,
        ),
      )
      .sort((a, b) => b.probability - a.probability),
    plans,
    asked: suspects,
  };
}

function groupOf(suspects: readonly Suspect[], observations: readonly Observation[]): SuspectGroup {
  const { fits } = suspects[0]!;
  return {
    suspects,
    probability: suspects.reduce((sum, { probability }) => sum + probability, 0),
    supports: observations.flatMap((_, o) => (fits[o]! >= supportsFrom ? [o] : [])),
    contradicts: observations.flatMap((_, o) => (fits[o]! < contradictsBelow ? [o] : [])),
  };
}
