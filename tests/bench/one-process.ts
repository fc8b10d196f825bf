/**
 * A process of its own for the benchmark: analyses the generated machines named by its arguments (devices, then seeds), each cold and then
 * after one edit, and prints what that took as JSON. Nothing but the engine is loaded here, so that peak memory is the engine's.
 */
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

/** `maxRSS` is in kilobytes wherever Node runs. */
const megabytes = (): number => process.resourceUsage().maxRSS / 1024;

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
