/** The chart against the same facts worked out by hand from the text of the samples. */
import { expect, test } from "vitest";
import { timerChart, timerChartSvg } from "../../server/pictures/timer-chart.ts";
import { engineOf } from "../states/run.ts";
import { samples } from "./samples.ts";

const dryer = samples.find(({ label }) => label === "Larkfield D5 electric dryer")!;

test("contacts of the dryer, step by step as its chart is written", () => {
  const { rows, groups, moves } = timerChart(dryer, dryer.programs[0]!);
  expect(groups.map(({ name, from, to }) => `${name} ${from}-${to}`).join(", ")).toBe(
    "off 0-1, timed 1-13, cool 13-15, rest 15-16, auto 16-24, cool-down 24-26",
  );
  expect(
    rows.map(({ name, bars }) => `${name}: ${bars.map((b) => `${b.from}-${b.to}${b.side ?? ""}`).join(" ")}`),
  ).toEqual(["run: 1-15 16-26", "heat: 1-13 16-24", "adv: 1-151 16-242 24-261"]);
  expect(moves).toEqual([]);
});

test("loads of the dryer: heat only in timed and auto, the lamp in any step, nothing by force of the timer alone", () => {
  const chart = timerChart(dryer, dryer.programs[0]!, engineOf(dryer));
  const loads = Object.fromEntries(
    chart.rows
      .filter(({ of }) => of === "load")
      .map(({ name, bars }) => [name, bars.map((b) => `${b.from}-${b.to} ${b.how}`)]),
  );
  expect(loads.HT).toEqual(["1-13 can", "16-24 can"]);
  expect(loads.DL).toEqual(["0-26 can"]);
  expect(loads["DM.main"]).toEqual(["1-15 can", "16-26 can"]);
  // `off` and `rest` have every contact open: the timer waits for a hand there.
  expect(chart.moves.flatMap((move, step) => (move === "never" ? [step] : []))).toEqual([0, 15]);
  expect(timerChartSvg(chart)).toBe(timerChartSvg(timerChart(dryer, dryer.programs[0]!, engineOf(dryer))));
});
