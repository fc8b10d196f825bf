/** The chart against the same facts worked out by hand from the text of the samples. */

import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { chartOf } from "../../server/editor/pictures.ts";
import { nodePlatform } from "../../server/node/platform.ts";
import { type TimerChart, timerChart, timerChartSvg } from "../../server/pictures/timer-chart.ts";
import { Service } from "../../server/service.ts";
import { engineOf } from "../states/run.ts";
import { samples } from "./samples.ts";

const dryerText = readFileSync(join(import.meta.dirname, "../../samples/electric-dryer.camleaf"), "utf8");
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

test("the same text gives the same chart, byte for byte, read and worked out anew", async () => {
  const [one, two] = [await chartsOfText(dryerText), await chartsOfText(dryerText)];
  expect(one[0]!.svg).toBe(two[0]!.svg);
  expect(one[0]!.svg.length).toBeGreaterThan(2000);
});

test("steps are told with the supply on: with the plug out nothing works in any step, and that says nothing of the program", async () => {
  const [chart] = await chartsOfText(`machine "lamp and timer"
supply single 120 V 60 Hz legs L N PE
timer TM {
  rated 15 A 125 V
  drive M1 to M2 120 V draws 33 mA pf 0.65
  contact lamp H to A
  chart 60 s per step {
    steps off 1 on 3
    lamp  -     XXX
  }
}
lamp LA 15 W 120 V
wire L to TM.H
wire TM.A to LA to N
wire TM.A to TM.M1
wire TM.M2 to N
`);
  // By hand: LA hangs on the timer's contact alone, so it lights in every state of the steps 1 to 3 with the supply on.
  expect(chart!.drawn.rows.find(({ name }) => name === "LA")!.bars).toEqual([{ from: 1, to: 4, how: "always" }]);
  expect(chart!.drawn.moves).toEqual(["never", "always", "always", "always"]);
});

test("where the timer waits is marked on the column and told in words", async () => {
  const [{ drawn, svg }] = (await chartsOfText(dryerText)) as [{ drawn: TimerChart; svg: string }];
  const columns = [...svg.matchAll(/class="waits" x="([\d.]+)"/g)].map(([, x]) => Number(x));
  const stepX = [...svg.matchAll(/data-step="(\d+)" x="([\d.]+)"/g)].map(([, , x]) => Number(x));
  // `off` and `rest`, tinted and with the two strokes of a pause each.
  expect(columns).toEqual([stepX[0], stepX[15]]);
  expect(svg.match(/class="pause"/g)).toHaveLength(2);
  // In timed the timer motor hangs on the running motor's contact; in auto on the thermostat besides.
  expect(drawn.conditions[1]).toBe("DM running");
  expect(drawn.conditions[16]).toContain("CT open");
  expect(svg).toContain("a: the timer moves on when DM running, and waits until then.");
});

test("words of the text in a chart are never markup", async () => {
  const [chart] = await chartsOfText(dryerText.replace('"program timer"', '"<script>alert(1)</script>"'));
  expect(chart!.svg).not.toContain("<script");
});

async function chartsOfText(text: string) {
  const service = new Service(nodePlatform);
  service.put("chart.camleaf", 1, text);
  const view = (await service.analysed("chart.camleaf"))!.machines[0]!;
  return view.machine.programs.map((program) => {
    const drawn = chartOf(view, program);
    return { drawn, svg: timerChartSvg(drawn) };
  });
}
