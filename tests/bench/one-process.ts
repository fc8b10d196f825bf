/**
 * A process of its own for the benchmark: analyses the generated machines named by its arguments (devices, then seeds), each cold and then
 * after one edit, and prints what that took as JSON. Nothing but the engine is loaded here, so that peak memory is the engine's.
 */
import { readFileSync } from "node:fs";
import { EngineMemory } from "../../server/states/exact/exact-engine.ts";
import { askExact, edited } from "./ask-everything.ts";
import { generatedMachine } from "./generated-machine.ts";

export interface ProcessReport {
  /** Milliseconds of the first analysis that this process made: its code is not warm yet. */
  readonly first: number;
  /** Megabytes at most: with nothing analysed yet, and at the end. */
  readonly before: number;
  readonly peak: number;
}

/**
 * Peak of this very program. Linux counts the memory of the process that started it into `maxRSS`, which would tell the benchmark's own;
 * elsewhere `maxRSS` serves, in kilobytes wherever Node runs.
 */
function megabytes(): number {
  try {
    const peak = /VmHWM:\s+(\d+) kB/.exec(readFileSync("/proc/self/status", "utf8"))?.[1];
    if (peak !== undefined) return Number(peak) / 1024;
  } catch {
    // No such file: not Linux.
  }
  return process.resourceUsage().maxRSS / 1024;
}

const [devices, ...seeds] = process.argv.slice(2).map(Number);
const machines = seeds.map((seed) => generatedMachine({ seed, devices: devices! }).machine);
const before = megabytes();
const totals = machines.map((machine) => {
  const memory = new EngineMemory();
  const { total } = askExact(machine, memory);
  askExact(edited(machine, 1.01), memory);
  return total;
});
const report: ProcessReport = { first: totals[0]!, before, peak: megabytes() };
console.log(JSON.stringify(report));
