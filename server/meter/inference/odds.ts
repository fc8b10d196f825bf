/** Odds: what observations make of prior probabilities, and what another observation can be expected to tell. */

/** Bayes' rule. All zero likelihoods leave the priors as they are: then the model knows nothing. */
export function posterior(priors: readonly number[], likelihoods: readonly number[]): number[] {
  const joint = priors.map((prior, i) => prior * likelihoods[i]!);
  const sum = joint.reduce((a, b) => a + b, 0);
  if (sum > 0) return joint.map((each) => each / sum);
  const whole = priors.reduce((a, b) => a + b, 0);
  return priors.map((prior) => prior / whole);
}

/** Bits. */
export function entropy(odds: readonly number[]): number {
  let bits = 0;
  for (const p of odds) if (p > 0) bits -= p * Math.log2(p);
  return bits;
}

export interface Expectation {
  /** Bits that are left on average once the outcome is known. */
  readonly entropy: number;
  /** Probability of each outcome. */
  readonly outcomes: readonly number[];
}

/**
 * What is left to find out after an observation. `outcomeOdds[h][o]`: probability of outcome o when hypothesis h is true; each
 * row sums to 1 (spread evenly where the model does not say).
 */
export function expectedEntropy(odds: readonly number[], outcomeOdds: readonly (readonly number[])[]): Expectation {
  const count = outcomeOdds[0]?.length ?? 0;
  const outcomes: number[] = [];
  let left = 0;
  for (let outcome = 0; outcome < count; outcome++) {
    const joint = odds.map((p, h) => p * outcomeOdds[h]![outcome]!);
    const sum = joint.reduce((a, b) => a + b, 0);
    outcomes.push(sum);
    if (sum > 0) left += sum * entropy(joint.map((each) => each / sum));
  }
  return { entropy: left, outcomes };
}
