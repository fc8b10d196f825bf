/** Which reading tells most for its effort and danger, and which suspects no reading can tell apart. */

import { type Candidate, candidatesFor, readingKey } from "./candidates.ts";
import type { Observation } from "./case.ts";
import { entropy, expectedEntropy } from "./inference/odds.ts";
import { outcomeScale } from "./likelihood.ts";
import type { Suspect } from "./rank.ts";
import type { Prediction, Predictor } from "./reading.ts";

/** A suspect below this is not asked about; at most so many are. */
const leastProbability = 0.001;
const mostSuspects = 40;
/** Share of readings that come out anyhow. */
const noise = 0.04;
/** A reading that tells less than this many bits is not worth unplugging for. */
export const leastGain = 0.02;

export interface Outcome {
  /** The prediction that stands for it. */
  readonly prediction: Prediction;
  readonly probability: number;
  /** Indexes of the suspects that lead to it, likeliest first. */
  readonly suspects: readonly number[];
}

export interface ReadingPlan {
  readonly candidate: Candidate;
  /** Bits that it is expected to tell. */
  readonly gain: number;
  /** Likeliest first. */
  readonly outcomes: readonly Outcome[];
}

export interface Plans {
  /** Most bits for its cost first. */
  readonly plans: readonly ReadingPlan[];
  /** Suspects by index, in groups that no candidate tells apart; in order of the suspects. */
  readonly groups: readonly (readonly number[])[];
}

export function planReadings(
  predictor: Predictor,
  suspects: readonly Suspect[],
  observations: readonly Observation[],
): Plans {
  const asked = suspects
    .slice(0, mostSuspects)
    .filter(({ probability }, i) => i < 2 || probability >= leastProbability);
  const faults = asked.flatMap((suspect) => suspect.faults);
  const candidates = candidatesFor(predictor.circuit, predictor.situations, faults);
  const taken = new Set(observations.map(({ reading }) => readingKey(reading)));
  const sum = asked.reduce((all, { probability }) => all + probability, 0);
  const odds = asked.map(({ probability }) => probability / sum);
  const before = entropy(odds);
  const plans: ReadingPlan[] = [];
  const signatures: string[] = asked.map(() => "");
  for (const candidate of candidates) {
    const { rows, classes } = outcomesOf(predictor, asked, candidate);
    if (classes.length < 2) continue;
    rows.forEach((row, i) => {
      signatures[i] += `${row.map((p) => p.toFixed(2)).join()};`;
    });
    if (taken.has(readingKey(candidate.reading))) continue;
    const { entropy: after, outcomes } = expectedEntropy(odds, rows);
    const gain = before - after;
    if (gain < leastGain) continue;
    plans.push({
      candidate,
      gain,
      outcomes: classes
        .map((prediction, c) => ({
          prediction,
          probability: outcomes[c]!,
          suspects: rows.flatMap((row, i) => (row[c]! > 0.5 ? [i] : [])),
        }))
        .filter((outcome) => outcome.suspects.length > 0)
        .sort((a, b) => b.probability - a.probability),
    });
  }
  plans.sort((a, b) => b.gain / b.candidate.cost - a.gain / a.candidate.cost);
  return { plans, groups: groupsOf(signatures, suspects.length) };
}

/** For each suspect the odds of each outcome; outcomes closer than a meter tells apart are one. */
function outcomesOf(
  predictor: Predictor,
  asked: readonly Suspect[],
  { reading }: Candidate,
): { rows: number[][]; classes: Prediction[] } {
  const healthy = predictor.predict(nothing, false, reading);
  const seen = asked.map(({ faults, looks }) => {
    const standsStill = faults.some((fault) => fault.standsStill);
    const vague = faults.some((fault) => (fault.spread ?? 0) > 0.4);
    return looks
      .filter(({ share }) => share > 0.02)
      .map(({ trouble, share }) => {
        const predicted = predictor.predict(trouble, standsStill, reading);
        return { share, predicted, vague, ...outcomeScale(reading, predicted) };
      });
  });
  const all = seen.flat();
  const scaled = all.filter((one) => one.at !== undefined).sort((a, b) => a.at! - b.at!);
  const bounds: number[] = [];
  const classes: Prediction[] = [];
  scaled.forEach((one, i) => {
    const last = scaled[i - 1];
    if (!last || one.at! - last.at! > Math.max(one.apart, last.apart)) {
      bounds.push(one.at!);
      classes.push(one.predicted);
    }
  });
  const classOf = (at: number): number => {
    let found = 0;
    bounds.forEach((bound, c) => {
      if (at >= bound) found = c;
    });
    return found;
  };
  const rest = outcomeScale(reading, healthy).at;
  const rows = seen.map((looks) => {
    const row = classes.map(() => 0);
    let whole = 0;
    for (const { share, predicted, at, vague } of looks) {
      whole += share;
      const even = at === undefined ? 1 : predicted.floating ? 0.25 : vague && at !== rest ? 0.3 : noise;
      for (let c = 0; c < row.length; c++) row[c]! += (share * even) / row.length;
      if (at !== undefined) row[classOf(at)]! += share * (1 - even);
    }
    return row.map((p) => p / whole);
  });
  return { rows, classes };
}

const nothing = {};

function groupsOf(signatures: readonly string[], count: number): number[][] {
  const groups = new Map<string, number[]>();
  signatures.forEach((signature, i) => {
    groups.set(signature, [...(groups.get(signature) ?? []), i]);
  });
  const rest = Array.from({ length: count - signatures.length }, (_, i) => [signatures.length + i]);
  return [...groups.values(), ...rest];
}
