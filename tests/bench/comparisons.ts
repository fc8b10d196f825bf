/** How long it takes to tell what a rewire changes: the six worked proposals of the samples on their machines. */
import { readFileSync } from "node:fs";
import { parse } from "../../grammar/parse.ts";
import { toEnd } from "../../server/base/to-end.ts";
import { buildCircuit } from "../../server/circuit/build.ts";
import { attachedBlocks, type Machine } from "../../server/machine/index.ts";
import { applyProposal } from "../../server/proposals/apply.ts";
import { compareProposal, sideOf } from "../../server/proposals/compare.ts";
import { differenceOf } from "../../server/proposals/difference.ts";
import { makeExactEngine } from "../../server/states/exact/exact-engine.ts";
import { median } from "./states.ts";

/** Milliseconds of processor time, medians. */
export interface ComparisonTiming {
  readonly name: string;
  /** The difference alone; both engines are there, nothing was asked of them yet. */
  readonly difference: number;
  /** Both engines made anew, and the difference. */
  readonly withEngines: number;
  /** From the text of the proposal to its verdict as after a keystroke in it: the base's findings are known, the changed machine is checked. */
  readonly verdict: number;
}

const proposals = [
  ["electric-dryer", "coil-on-the-other-leg"],
  ["electric-dryer", "dryer-on-208-volts"],
  ["top-loading-washer", "lid-held-for-spin-test"],
  ["top-loading-washer", "relay-for-the-motor"],
  ["top-loading-washer", "smaller-timer"],
  ["electric-dryer", "thermostat-jumped"],
] as const;

export function benchComparisons(runs: number): ComparisonTiming[] {
  return proposals.map(([machine, name]) => {
    const text = (file: string) => parse(readFileSync(`samples/${file}`, "utf8"));
    const file = `samples/proposals/${name}.camleaf`;
    const files = new Map([
      [file, text(`proposals/${name}.camleaf`)],
      [`samples/${machine}.camleaf`, text(`${machine}.camleaf`)],
      ["samples/parts.camleaf", text("parts.camleaf")],
    ]);
    const [{ statement, machine: base }] = attachedBlocks("proposal", files, file, []) as [
      ReturnType<typeof attachedBlocks<"proposal">>[number],
    ];
    const { machine: changed, renames } = applyProposal(base!, files, { statement, file });
    const engine = (of: Machine) => toEnd(makeExactEngine(buildCircuit(of)));
    const side = (of: Machine) => ({ engine: engine(of), findings: [] });
    const known = toEnd(sideOf(base!));
    const timings = Array.from({ length: runs + 1 }, () => {
      const sides = [side(base!), side(changed!)] as const;
      return {
        difference: timed(() => toEnd(differenceOf(...sides, renames))),
        withEngines: timed(() => toEnd(differenceOf(side(base!), side(changed!), renames))),
        verdict: timed(() => toEnd(compareProposal(base!, files, { statement, file }, known))),
      };
    }).slice(1); // the first one warms the code up
    const of = (which: "difference" | "withEngines" | "verdict") => median(timings.map((timing) => timing[which]));
    return { name, difference: of("difference"), withEngines: of("withEngines"), verdict: of("verdict") };
  });
}

function timed(work: () => void): number {
  const begin = process.cpuUsage();
  work();
  const { user, system } = process.cpuUsage(begin);
  return (user + system) / 1000;
}
