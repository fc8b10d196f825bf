/**
 * The four samples against tables solved by hand (state-tables/README.md tells how): an independent proof of reading, resolving,
 * solving and classing.
 */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { solveState } from "../../server/circuit/solve.ts";
import { classesOf } from "../oracle/load-class.ts";
import { targetOf } from "../oracle/target.ts";
import { onlyMachine, read, stateOf } from "./read.ts";

interface Row {
  readonly when: string;
  readonly settled: boolean;
  readonly how: string;
  readonly expect: Readonly<
    Record<string, { readonly class?: string; readonly volts?: number; readonly amps?: number }>
  >;
  readonly off: readonly string[];
}

const CLASSES = ["off", "weak", "works", "over"];
const samples = ["gas-burner", "electric-dryer", "top-loading-washer", "fan-heater"];

describe.each(samples)("%s by hand", (sample) => {
  const table = JSON.parse(readFileSync(join(import.meta.dirname, `state-tables/${sample}.json`), "utf8"));
  const { circuit, machine } = onlyMachine(read(`samples/${sample}.camleaf`).machines);

  test.each(table.rows as Row[])("$when", (row) => {
    const state = stateOf(machine, row.when);
    const solution = solveState(circuit, state);
    const classes = classesOf(circuit, solution);
    const load = (name: string) => {
      const found = machine.loads.find((one) => one.name === name || machine.parts[one.part]!.name === name);
      if (!found) throw new Error(`${name}: no such load; there are ${machine.loads.map((l) => l.name).join(", ")}`);
      return found;
    };
    expect(solution.shorts).toEqual([]);
    for (const name of row.off) expect(`${name} ${CLASSES[classes[load(name).id]!]}`).toBe(`${name} off`);
    for (const [name, wanted] of Object.entries(row.expect)) {
      const { id } = load(name);
      const volts = Math.hypot(solution.loadVolts.re[id]!, solution.loadVolts.im[id]!);
      const amps = Math.hypot(solution.loadAmps.re[id]!, solution.loadAmps.im[id]!);
      if (wanted.class) expect(`${name} ${CLASSES[classes[id]!]}`).toBe(`${name} ${wanted.class}`);
      if (wanted.volts !== undefined) near(volts, wanted.volts, `${name} volts`);
      if (wanted.amps !== undefined) near(amps, wanted.amps, `${name} amps`);
    }
    if (row.settled) {
      for (const control of machine.controls) {
        // A gas valve's seats follow its coils and feed nothing; the rows leave them alone.
        if (!control.rule || control.role === "valve") continue;
        const target = targetOf(circuit, control.rule, control.id, state, { classes, solution });
        const name = (position: number) => `${control.name} ${control.positions[position]!.name}`;
        expect(name(target)).toBe(name(state[control.id]!));
      }
    }
  });
});

function near(got: number, wanted: number, what: string): void {
  expect(Math.abs(got - wanted), `${what}: ${got}, by hand ${wanted}`).toBeLessThanOrEqual(
    Math.max(0.005 * wanted, 0.001),
  );
}
