/** Every single fault of each sample put in, one after the other: are the suggested readings good, and how many does it take? */

import type { Observation } from "../../server/meter/case.ts";
import { diagnoseWith } from "../../server/meter/diagnose.ts";
import { rankFaults } from "../../server/meter/rank.ts";
import { Predictor } from "../../server/meter/reading.ts";
import { benchOf, type Strategy, simulateAll, trials } from "../meter/simulated.ts";
import { milliseconds, printTable } from "./table.ts";

const strategies: readonly Strategy[] = ["best", "half-split", "random"];

export function benchFaultFinding(): void {
  const rows = Object.keys(trials).map((sample) => {
    const [best, half, random] = strategies.map((strategy) => simulateAll(sample, strategy));
    const share = (one: typeof best) => `${((100 * one!.found) / one!.noticed).toFixed(1)} %`;
    return [
      sample,
      String(best!.faults),
      String(best!.noticed),
      share(best),
      best!.readings.toFixed(1),
      best!.effort.toFixed(1),
      best!.named.toFixed(2),
      `${half!.readings.toFixed(1)} / ${half!.effort.toFixed(1)}`,
      `${random!.readings.toFixed(1)} / ${random!.effort.toFixed(1)}`,
    ];
  });
  printTable(
    "Faults put into the samples, readings answered by a plain model with noise. Found: named first, or tied with what no reading tells apart. Effort: readings weighed with danger.",
    ["sample", "faults", "noticed", "found", "readings", "effort", "named together", "half-split", "at random"],
    rows,
  );
  printTable(
    "Ranking all faults against five observations, and choosing the next reading, nothing remembered",
    ["sample", "faults", "ranking", "with the next reading"],
    Object.keys(trials).map(timeOf),
  );
}

function timeOf(sample: string): string[] {
  const { engine, faults, trials: tried } = benchOf(sample);
  const { situation, looks } = tried[0]!;
  const { machine } = engine.circuit;
  const place = { file: "", from: 0, to: 0 };
  const heater = machine.loads[0]!;
  const neutral = machine.supply.legs.at(-2)!.terminal;
  const observations: Observation[] = [
    ...looks.slice(0, 1).map((reading) => ({
      reading: { ...reading, odds: { off: 0.95, hums: 0.04, weak: 0.04, works: 0.04 } } as Observation["reading"],
      value: 1,
      place,
      text: "",
    })),
    { reading: { of: "volts", a: heater.a, b: heater.b, situation: 0 }, value: 0, place, text: "" },
    { reading: { of: "volts", a: heater.a, b: neutral, situation: 0 }, value: 118, place, text: "" },
    {
      reading: { of: "ohms", a: heater.a, b: heater.b, lifted: [heater.a], situation: 0 },
      value: Number.POSITIVE_INFINITY,
      place,
      text: "",
    },
    {
      reading: { of: "ohms", a: machine.contacts[0]!.a, b: machine.contacts[0]!.b, lifted: [], situation: 0 },
      value: 0.2,
      place,
      text: "",
    },
  ];
  const time = (job: (predictor: Predictor) => void): number => {
    const times = Array.from({ length: 9 }, () => {
      const predictor = new Predictor(engine.circuit, [situation]);
      const began = performance.now();
      job(predictor);
      return performance.now() - began;
    });
    return times.sort((a, b) => a - b)[4]!;
  };
  return [
    sample,
    String(faults.length),
    milliseconds(time((predictor) => void rankFaults(predictor, faults, observations))),
    milliseconds(time((predictor) => void diagnoseWith(predictor, faults, observations))),
  ];
}
