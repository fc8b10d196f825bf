/** Single and double faults ranked by how well they explain what was observed. */
import { toEnd } from "../base/to-end.ts";
import type { Machine } from "../machine/machine.ts";
import type { Observation } from "./case.ts";
import { type Fault, joinTroubles } from "./faults.ts";
import { minimalHittingSets } from "./inference/diagnoses.ts";
import { posterior } from "./inference/odds.ts";
import { type Fit, fitOf, outcomeScale } from "./likelihood.ts";
import type { Prediction, Predictor } from "./reading.ts";
import type { Trouble } from "./settle.ts";
import { nothingOdds, oneIn } from "./tables/priors.ts";

/** One way a suspect may look, with how likely that is after the observations. */
export interface Look {
  readonly trouble: Trouble;
  readonly share: number;
}

export interface Suspect {
  /** One fault or two; none: nothing wrong that a meter can find. */
  readonly faults: readonly Fault[];
  readonly probability: number;
  readonly looks: readonly Look[];
  /** For each observation how well it fits (1 as expected, 0 contradicts, NaN not told), in its likeliest look. */
  readonly fits: readonly number[];
}

/** From this fit on an observation speaks for a suspect, below the other it contradicts. */
export const supportsFrom = 0.3;
export const contradictsBelow = 0.05;

/** Explanations of one observation that pairs are built from, and pairs that are solved. */
const mostExplainers = 10;
const mostPairs = 60;
/** A suspect that contradicts nothing is enough: pairs are then not looked for. */
const nothing: Trouble = {};

export interface Ranking {
  /** Likeliest first. */
  readonly suspects: readonly Suspect[];
  /** What the healthy machine would show, per observation. */
  readonly healthy: readonly { readonly predicted: Prediction; readonly fit: number }[];
  /** Of each of these sets of faults at least one must be there, as far as single faults go. */
  readonly oneOf: readonly (readonly Fault[])[];
}

export function rankFaults(...args: Parameters<typeof rankJobs>): Ranking {
  return toEnd(rankJobs(...args));
}

/** Faults solved between two pauses. */
const atATime = 8;

/** The same as jobs of some milliseconds. */
export function* rankJobs(
  predictor: Predictor,
  faults: readonly Fault[],
  observations: readonly Observation[],
): Generator<void, Ranking> {
  const { machine } = predictor.circuit;
  const scorer = new Scorer(machine, predictor, observations);
  const healthy = observations.map((observation, o) => ({
    predicted: scorer.healthy[o]!,
    fit: fitOf(machine, observation, scorer.healthy[o]!, 0).fit,
  }));
  const singles: Scored[] = [];
  for (const fault of faults) {
    singles.push(scorer.score([fault], fault.looks));
    if (singles.length % atATime === 0) yield;
  }
  const none = scorer.score([], [nothing]);
  const candidates = [none, ...singles];

  const explainers = observations.map((_, o) =>
    healthy[o]!.fit >= contradictsBelow || Number.isNaN(healthy[o]!.fit)
      ? []
      : singles.filter(({ fits }) => fits.some((fit) => fit[o]!.fit >= supportsFrom)).sort((a, b) => b.odds - a.odds),
  );
  const disagreeing = explainers.filter((list) => list.length > 0);
  const oneOf = disagreeing.map((list) => list.map(({ faults: [fault] }) => fault!));
  const best = Math.max(...singles.map(({ odds, likelihood }) => odds * likelihood));
  const explained = singles.some(
    ({ odds, likelihood, fits }) =>
      odds * likelihood >= best / 50 && fits.some((look) => look.every(({ fit }) => !(fit < contradictsBelow))),
  );
  if (!explained && observations.length > 0)
    candidates.push(...(yield* pairs(scorer, disagreeing, singles, observations.length)));

  const odds = posterior(
    candidates.map((each) => each.odds),
    candidates.map((each) => each.likelihood),
  );
  const suspects = candidates
    .map((candidate, i): Suspect => {
      const sum = candidate.lookLikelihoods.reduce((a, b) => a + b, 0);
      const shares = candidate.lookLikelihoods.map((each) =>
        sum > 0 ? each / sum : 1 / candidate.lookLikelihoods.length,
      );
      const likeliest = shares.indexOf(Math.max(...shares));
      return {
        faults: candidate.faults,
        probability: odds[i]!,
        looks: candidate.looks.map((trouble, look) => ({ trouble, share: shares[look]! })),
        fits: candidate.fits[likeliest]!.map(({ fit }) => fit),
      };
    })
    .sort((a, b) => b.probability - a.probability);
  return { suspects, healthy, oneOf };
}

interface Scored {
  readonly faults: readonly Fault[];
  readonly odds: number;
  readonly looks: readonly Trouble[];
  readonly lookLikelihoods: readonly number[];
  readonly likelihood: number;
  /** By look, by observation. */
  readonly fits: readonly (readonly Fit[])[];
}

class Scorer {
  readonly healthy: readonly Prediction[];

  constructor(
    private readonly machine: Machine,
    private readonly predictor: Predictor,
    private readonly observations: readonly Observation[],
  ) {
    this.healthy = observations.map(({ reading }) => predictor.predict(nothing, false, reading));
  }

  score(faults: readonly Fault[], looks: readonly Trouble[]): Scored {
    const standsStill = faults.some((fault) => fault.standsStill);
    const spread = Math.max(0, ...faults.map((fault) => fault.spread ?? 0));
    const fits = looks.map((trouble) =>
      this.observations.map((observation, o) => {
        const predicted = this.predictor.predict(trouble, standsStill, observation.reading);
        return fitOf(this.machine, observation, predicted, spread > 0 && this.differs(o, predicted) ? spread : 0);
      }),
    );
    const lookLikelihoods = fits.map((look) => look.reduce((product, { likelihood }) => product * likelihood, 1));
    return {
      faults,
      odds: faults.length === 0 ? nothingOdds * oneIn : faults.reduce((product, { odds }) => product * odds * oneIn, 1),
      looks,
      lookLikelihoods,
      likelihood: lookLikelihoods.reduce((a, b) => a + b, 0) / looks.length,
      fits,
    };
  }

  private differs(o: number, predicted: Prediction): boolean {
    const { reading } = this.observations[o]!;
    const [here, there] = [outcomeScale(reading, predicted), outcomeScale(reading, this.healthy[o]!)];
    if (here.at === undefined || there.at === undefined) return here.at !== there.at;
    return Math.abs(here.at - there.at) > 0.3 * Math.max(here.apart, there.apart);
  }
}

/** Two faults at once: one for each observation that no single fault explains beside the others. */
function* pairs(
  scorer: Scorer,
  disagreeing: readonly (readonly Scored[])[],
  singles: readonly Scored[],
  count: number,
): Generator<void, Scored[]> {
  const chosen = disagreeing.map((list) => list.slice(0, mostExplainers));
  const ids = (list: readonly Scored[]) => list.map(({ faults }) => faults[0]!.id);
  const found = minimalHittingSets(chosen.map(ids), 2).filter(({ length }) => length === 2);
  const byId = new Map(singles.map((single) => [single.faults[0]!.id, single]));
  // What one of two faults spoils the other may mend: the two best of everything besides.
  const strong = [...singles].sort((a, b) => b.odds * b.likelihood - a.odds * a.likelihood).slice(0, 8);
  for (const one of strong)
    for (const other of strong)
      if (one.faults[0]!.id < other.faults[0]!.id) found.push([one.faults[0]!.id, other.faults[0]!.id]);
  const unique = new Map(found.map((pair) => [pair.join(), pair]));
  const tried = [...unique.values()]
    .map((pair) => pair.map((id) => byId.get(id)!) as [Scored, Scored])
    .sort(([a, b], [c, d]) => c.odds * d.odds - a.odds * b.odds)
    .slice(0, mostPairs);
  const scored: Scored[] = [];
  for (const [one, other] of tried) {
    const looks = bestLooks(one, count).flatMap((a) => bestLooks(other, count).map((b) => joinTroubles(a, b)));
    scored.push(scorer.score([one.faults[0]!, other.faults[0]!], looks));
    if (scored.length % atATime === 0) yield;
  }
  return scored;
}

/** At most two looks of a fault: those that explain most of the observations one by one. */
function bestLooks({ looks, fits }: Scored, count: number): Trouble[] {
  const explained = fits.map((look) => {
    let sum = 0;
    for (let o = 0; o < count; o++) if (look[o]!.fit >= supportsFrom) sum++;
    return sum;
  });
  return looks
    .map((trouble, i) => ({ trouble, explained: explained[i]! }))
    .sort((a, b) => b.explained - a.explained)
    .slice(0, 2)
    .map(({ trouble }) => trouble);
}
