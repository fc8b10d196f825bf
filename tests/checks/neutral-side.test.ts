/** Who is told to switch the neutral side, and who is not. Trade judgement, no published source. */
import { expect, it } from "vitest";
import { findingsOf, machinesOf } from "./analysed.ts";

const told = (text: string) =>
  findingsOf(
    machinesOf(`machine "Bench"\nsupply single 120 V 60 Hz breaker 15 A legs L N PE\n${text}\n`)[0]!,
    {},
  ).filter(({ id }) => id === "neutral-side-switch");

const timer = (load: string) => `timer TM {
  drive 1 to 2 120 V draws 33 mA
  contact adv C to A or B
  chart 5 min per step {
    steps off 1 on 2
    adv   1     22
  }
}
limit HL opens 121 C closes 93 C self-resetting senses X
${load}
wire L to TM(1 2) to N
wire L to HL to X to TM.B
wire TM.C to N`;

it("a part of several contacts is told once, each contact with its loads", () => {
  const findings = told(`switch DOOR {
  positions shut open
  contact 1 to 2 in shut
  contact 1 to 3 in open
}
lamp DL 10 W 120 V
lamp H1 5 W 120 V
wire L to DL to DOOR.3
wire L to H1 to DOOR.2
wire DOOR.1 to N`);
  expect(findings.map(({ what }) => what)).toEqual([
    "DOOR opens the neutral side: with DOOR.1-2 open, H1 stays live; with DOOR.1-3 open, DL stays live.",
  ]);
  expect(findings[0]!.related.length).toBe(4);
});

it("a sensor and a motor's own protector are no off switches", () => {
  expect(told("sensor FS 1 to 2 made cold, open hot\nlamp DL 10 W 120 V\nwire L to DL to FS to N")).toEqual([]);
  expect(
    told(
      "motor DM 120 V 1/3 hp { winding main 4 to 5; protector 5 to 6 opens 120 C closes 65 C }\nwire L to DM.4\nwire DM.6 to N",
    ),
  ).toEqual([]);
});

it("a changeover cam of a timer only when it leaves a heater live", () => {
  expect(told(timer("lamp X 10 W 120 V"))).toEqual([]);
  expect(told(timer("heater X 1000 W 120 V")).map(({ gravity }) => gravity)).toEqual(["warning"]);
});

const kettle = (first: string) => `${first}
limit DB2 "disc in the neutral" opens 130 C closes 100 C self-resetting senses HT rated 15 A 125 V
heater HT 1400 W 120 V
wire L to DB1 to HT to DB2 to N`;

it("of two discs, one in each leg, the one in the neutral is a note that names the other", () => {
  const [finding, ...more] = told(
    kettle('limit DB1 "disc in the live" opens 130 C closes 100 C self-resetting senses HT rated 15 A 125 V'),
  );
  expect(more).toEqual([]);
  expect(finding).toMatchObject({ gravity: "information" });
  expect(finding!.advice).toContain("DB1 (disc in the live) opens the live side of the same");
});

it.each([
  ["a switch", "switch DB1 1 to 2 closed in on, open in off"],
  ["a thermostat", "thermostat DB1 opens 100 C closes 90 C"],
  [
    "a disc that feels something else",
    "limit DB1 opens 130 C closes 100 C self-resetting senses X\nheater X 100 W 120 V attended\nwire L to X to N",
  ],
])("with %s in the live leg it is the only protector, and in the wrong leg", (_, first) => {
  const found = told(kettle(first)).find(({ what }) => what.startsWith("DB2"));
  expect(found).toMatchObject({ gravity: "warning" });
  expect(found!.advice).toContain("Move it to the live side");
});

it("of a heat switch that takes the live side away in its off, no heat is taken for off", () => {
  const knob = (one: string) => `selector S "heat switch" {
  positions off low high
  contact P1 to 1 in ${one}
  contact P2 to 3 in high
  contact P2 to 4 in low or high
}
heater A 800 W 120 V attended
heater B 500 W 120 V attended
wire L to S.P1
wire N to S.P2
wire S.1 to A to S.3
wire S.1 to B to S.4`;
  expect(told(knob("low or high"))).toEqual([]);
  // Where off leaves them live it is told.
  expect(told(knob("off or low or high")).map(({ gravity }) => gravity)).toEqual(["warning"]);
});
