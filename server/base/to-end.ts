/** Runs work that pauses between jobs without a pause, for whoever has nothing else to do meanwhile. */
export function toEnd<Result>(run: Generator<void, Result>): Result {
  for (;;) {
    const step = run.next();
    if (step.done) return step.value;
  }
}
