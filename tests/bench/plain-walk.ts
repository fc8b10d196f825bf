/** The exact engine beside plain enumeration (the tests' oracle): where the walk ends, and what it would take where it does not. */
import { buildCircuit } from "../../server/circuit/build.ts";
import type { Machine } from "../../server/machine/machine.ts";
import { makePlainEngine } from "../oracle/engine.ts";
import { askEverything } from "./ask-everything.ts";
import { generatedMachine } from "./generated-machine.ts";
import { coldRun } from "./states.ts";
import { milliseconds as ms, printTable } from "./table.ts";

/** Generated machines that the walk can finish: fewer steps, no selectors; then more of both. */
const WALKED = [
  { devices: 8, steps: 4, selectors: 0 },
  { devices: 8, steps: 15, selectors: 0 },
  { devices: 9, steps: 15, selectors: 0 },
  { devices: 10, steps: 15, selectors: 0 },
  { devices: 8, steps: 15, selectors: 1 },
];

/** Samples first. Both engines are asked the same, and must tell the same numbers. */
export function benchAgainstPlain(samples: readonly (readonly [string, Machine])[]): void {
  const generated = WALKED.map(
    (size) =>
      [
        `${size.devices} devices, ${size.steps} steps, ${size.selectors} selectors`,
        generatedMachine({ seed: 1, ...size }).machine,
      ] as const,
  );
  let perState = Infinity;
  const rows = [...samples, ...generated].map(([name, machine]) => {
    const exact = coldRun(machine, 5);
    const plain = askEverything(machine, () => makePlainEngine(buildCircuit(machine), { budget: 3_000_000 }));
    if (!plain.coverage.complete) throw new Error(`the plain walk did not finish ${name}`);
    plain.told.forEach((value, index) => {
      if (Math.abs(value - exact.told[index]!) > 1e-6 * Math.max(1, value))
        throw new Error(`the engines differ on ${name}`);
    });
    const reachable = plain.coverage.reachable!;
    const each = plain.total / reachable;
    perState = Math.min(perState, each);
    return [
      name,
      plain.coverage.nominal.toLocaleString("en-US"),
      reachable.toLocaleString("en-US"),
      ms(plain.total),
      `${(1000 * each).toFixed(0)} us`,
      ms(exact.total),
      `${times(plain.total / exact.total)} faster`,
    ];
  });
  printTable(
    "The every-state engine beside a plain walk through the states one by one (the tests' oracle), where the walk ends; same questions, same numbers told.",
    ["machine", "states", "reachable", "plain walk", "each state", "every-state engine", "ratio"],
    rows,
  );
  // The least time for a state is taken: a state of a larger machine has more neighbours and more joints, and takes longer.
  const { machine } = generatedMachine({ seed: 1, devices: 40 });
  const exact = coldRun(machine);
  const years = (perState * exact.coverage.reachable!) / 1000 / 3600 / 24 / 365.25;
  console.log(
    `  40 devices, 60 steps, 3 selectors: not walked. At ${(1000 * perState).toFixed(0)} us a state, the least above, its ${exact.coverage.reachable!.toExponential(1)} ` +
      `reachable states would take at least ${years.toExponential(1)} years; the every-state engine takes ${ms(exact.total)} (reckoned, not measured: ${times((perState * exact.coverage.reachable!) / exact.total)}).`,
  );
}

function times(ratio: number): string {
  return `${ratio >= 1e5 ? ratio.toExponential(1) : ratio.toPrecision(2).includes("e") ? Math.round(ratio) : ratio.toPrecision(2)} x`;
}
