/** What the analysis did not reach, said aloud: silence would read as an all clear. */
import type { Check } from "../check.ts";

export const statesNotCovered: Check = {
  id: "states-not-covered",
  gravity: "warning",
  title: "States that the analysis did not reach",
  *run({ engine, machine, report }) {
    const { complete, missing } = engine.covered();
    if (complete) return;
    for (const sentence of missing.length > 0 ? missing : ["The analysis ended before every state was looked at."])
      report({
        place: machine.supply.place,
        what: sentence,
        why: "What is found below holds; what is not found may still be there.",
        advice:
          "Split the machine into circuits that do not share a control, or leave out controls that do not matter here.",
        related: [],
      });
    yield;
  },
};
