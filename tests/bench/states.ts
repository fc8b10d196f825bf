/** Speed and memory of the exact engine: generated machines, cold and after one edit, and how both grow with the size. */
import { execFileSync } from "node:child_process";
import { join } from "node:path";
import type { Machine } from "../../server/machine/machine.ts";
import { EngineMemory } from "../../server/states/exact/exact-engine.ts";
import { type Asked, askExact, edited } from "./ask-everything.ts";
import { generatedMachine } from "./generated-machine.ts";
import type { ProcessReport } from "./one-process.ts";
import { milliseconds as ms, printTable } from "./table.ts";

export function median(numbers: readonly number[]): number {
  const sorted = [...numbers].sort((a, b) => a - b);
  return sorted[sorted.length >> 1]!;
}

const SEEDS = [1, 2, 3, 4, 5, 6, 7];
const SIZES = [10, 20, 30, 40, 50, 60];
/** The size that everything is promised for. */
const PROMISED = 40;

/** The best of a few fresh runs, so that other work on the computer counts little; nothing is kept between them. */
export function coldRun(machine: Machine, runs = 3): Asked {
  return best(Array.from({ length: runs }, () => askExact(machine)));
}

/** After one edit: the best of three edits, each of what was typed before. */
function warmRun(machine: Machine): Asked {
  const memory = new EngineMemory();
  askExact(machine, memory);
  return best([1.01, 1.02, 1.03].map((times) => askExact(edited(machine, times), memory)));
}

function best(runs: readonly Asked[]): Asked {
  return runs.reduce((one, other) => (other.total < one.total ? other : one));
}

/** Peak memory and the first run, in a process that does nothing else. */
function inOwnProcess(devices: number, seeds: readonly number[]): ProcessReport {
  const program = join(__dirname, "bench-one-process.js");
  const args = [program, devices, ...seeds].map(String);
  return JSON.parse(execFileSync(process.execPath, args, { encoding: "utf8" })) as ProcessReport;
}

const mb = (value: number): string => `${value.toFixed(0)} MB`;

/** Prints the story of the exact engine. Takes a minute. */
export function benchStates(): void {
  const rows: string[][] = [];
  const eachSeed: string[][] = [];
  const open: string[] = [];
  for (const devices of SIZES) {
    const machines = SEEDS.map((seed) => generatedMachine({ seed, devices }).machine);
    const cold = machines.map((machine) => coldRun(machine, devices > PROMISED ? 1 : 3));
    const warm = machines.map((machine) => warmRun(machine));
    const alone = SEEDS.map((seed) => inOwnProcess(devices, [seed]));
    const times = [cold, warm].map((runs) => runs.map(({ total }) => total));
    rows.push([
      String(devices),
      cold[0]!.coverage.nominal.toExponential(1),
      ...times.flatMap((all) => [ms(median(all)), ms(Math.max(...all))]),
      mb(median(alone.map(({ peak }) => peak))),
      mb(Math.max(...alone.map(({ peak }) => peak))),
      mb(inOwnProcess(devices, SEEDS).peak),
      String(cold.reduce((sum, one) => sum + one.open.length, 0)),
      String(cold.reduce((sum, one) => sum + one.coverage.missing.length, 0)),
    ]);
    if (devices !== PROMISED) continue;
    cold.forEach((one, index) => {
      const { first, before, peak } = alone[index]!;
      eachSeed.push([
        `seed ${SEEDS[index]}`,
        one.coverage.reachable!.toExponential(2),
        ms(one.total),
        ms(first),
        ms(warm[index]!.total),
        mb(before),
        mb(peak),
        String(one.open.length),
      ]);
      for (const words of [...one.open, ...one.coverage.missing]) open.push(`  seed ${SEEDS[index]}: ${words}`);
    });
  }
  printTable(
    "Every state of generated machines (60-step timer, three four-position selectors, relay, motor; as many two-position devices as said), seven seeds. Cold: nothing known, code warm. Edit: one heater changed. Peak memory of a whole Node process: each seed in one of its own, and all seven in one.",
    [
      "devices",
      "states",
      "cold, median",
      "maximum",
      "edit, median",
      "maximum",
      "memory, median",
      "maximum",
      "all in one",
      "told as a bound only",
      "loads not told apart",
    ],
    rows,
  );
  printTable(
    `The seven seeds of ${PROMISED} devices. First: the first thing that a fresh process does, its code not warm. Loaded: peak memory before anything is analysed.`,
    ["", "reachable states", "cold", "first", "edit", "loaded", "peak memory", "told as a bound only"],
    eachSeed,
  );
  console.log(`\nNot told exactly within the budget, ${PROMISED} devices: ${open.length === 0 ? "nothing" : ""}`);
  for (const line of open) console.log(line);
}
