/** What people hear, see, smell and feel, as what a part does. */
import type { Circuit } from "../circuit/circuit.ts";
import type { ControlId, LoadId, Machine, PartId } from "../machine/machine.ts";
import { classesOf } from "../states/moments.ts";
import type { BenchPoint } from "./points.ts";
import { brokenLoads, type Settled, type Trouble } from "./settle.ts";

/** What a part does, as far as a person can tell from outside. */
export type Activity = "off" | "hums" | "weak" | "works";

/** What a symptom speaks of. */
export interface SymptomSubject {
  readonly name: string;
  readonly part?: PartId;
  readonly loads: readonly LoadId[];
  /** The motor whose turning shows. */
  readonly motor?: ControlId;
  /** Timer: whether its dial moves. */
  readonly dial?: boolean;
  /** The breaker or fuse of the house: `works` while it holds. */
  readonly breaker?: boolean;
}

/** Likelihood of the words for each activity; rows need not sum to one. */
export type SymptomOdds = Readonly<Record<Activity, number>>;

const sure = 0.95;
const not = 0.04;
const works: SymptomOdds = { off: not, hums: not, weak: 0.3, works: sure };
const off: SymptomOdds = { off: sure, hums: 0.1, weak: 0.2, works: not };
const hums: SymptomOdds = { off: not, hums: sure, weak: 0.3, works: not };
const weak: SymptomOdds = { off: 0.15, hums: 0.3, weak: sure, works: 0.1 };
const fed: SymptomOdds = { off: not, hums: sure, weak: sure, works: sure };

const words: readonly (readonly [RegExp, SymptomOdds])[] = [
  [/^(does not|doesn't|do not|never|no|not|will not|won't|no longer|cannot)\b/, off],
  [/\b(hums?|humming|growls?|buzzes without turning)\b/, hums],
  [/\b(weak|dim|slow|slowly|lukewarm|warm|little)\b/, weak],
  [/\b(trips?|tripped|blows (the|a) (fuse|breaker))\b/, off],
  [/\b(off|dead|cold|dark|silent|quiet|still|stopped|stops|stuck|waits|stands)\b/, off],
  [/\b(hot|smells|smoke|smokes|burnt|scorches)\b/, fed],
  [
    /\b(works?|runs?|running|turns?|heats?|glows?|lights?|lit|on|holds?|clicks|buzzes|buzzing|moves?|advances?|opens?|pumps?|fills?|spins?|blows?)\b/,
    works,
  ],
];

/** Undefined when the words say nothing that a part can do. */
export function symptomOdds(text: string): SymptomOdds | undefined {
  const lower = text.trim().toLowerCase();
  return words.find(([pattern]) => pattern.test(lower))?.[1];
}

/** A sample of the words that are understood, for a person who wrote others. */
export const knownSymptoms = "works, runs, heats, lights, hums, weak, off, cold, dead, stands still";

/** Asked of a supply leg: `seen L1 trips`. */
export const breakerSubject: SymptomSubject = { name: "the breaker", loads: [], breaker: true };

export function symptomSubject(machine: Machine, point: BenchPoint): SymptomSubject | undefined {
  if (point.part === undefined) return breakerSubject;
  const { name, part, loads } = point;
  if (machine.programs.some((program) => program.part === part && program.drive !== undefined) && loads.length <= 1)
    return { name, part, loads: loads.length > 0 ? loads : machine.parts[part]!.loads, dial: true };
  const motor = machine.parts[part]!.controls.find((control) => machine.controls[control]!.role === "motor");
  if (motor !== undefined && loads.length !== 1) return { name, part, loads, motor };
  return loads.length === 0 ? undefined : { name, part, loads };
}

/** What the part does in a state come to rest. `standsStill`: the timer's gears are broken. */
export function activityOf(
  circuit: Circuit,
  { solution, tripped }: Settled,
  trouble: Trouble,
  subject: SymptomSubject,
  standsStill: boolean,
): Activity {
  if (subject.breaker) return tripped ? "off" : "works";
  if (tripped) return "off";
  if (subject.motor !== undefined) {
    const position = solution.state[subject.motor]!;
    return position >= 2 ? "works" : position === 1 ? "hums" : "off";
  }
  const classes = classesOf(circuit, solution);
  const broken = brokenLoads(trouble);
  let best: Activity = "off";
  for (const id of subject.loads) {
    const load = circuit.machine.loads[id]!;
    if (broken?.has(id)) continue;
    let found: Activity = classes[id]! >= 2 ? "works" : classes[id] === 1 ? "weak" : "off";
    if (load.kind === "heater" && load.ratedWatts) {
      const share = solution.loadWatts[id]! / load.ratedWatts;
      found = share >= 0.3 ? "works" : share >= 0.05 ? "weak" : "off";
    }
    if (found === "works" && subject.dial && standsStill) found = "off";
    if (found === "works") return "works";
    if (found === "weak") best = "weak";
  }
  return best;
}
