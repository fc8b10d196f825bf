/** Where a search was cut short, nothing found is no all-clear: it is told as that, and only where it matters. */
import { describe, expect, it } from "vitest";
import type { Finding } from "../../server/base/finding.ts";
import { toEnd } from "../../server/base/to-end.ts";
import { runChecks } from "../../server/checks/run-checks.ts";
import type { Engine, Extremes } from "../../server/states/engine.ts";
import { analyse, findingsOf, machinesOf } from "./analysed.ts";

const TEXT = `machine "Bench"
supply single 120 V 60 Hz breaker 15 A cord 14 AWG legs L N PE
switch SW 1 to 2 closed in on, open in off rated 15 A 125 V
fuse F1 15 A
selector SEL {
  positions low high
  contact 1 to 2 in low, else 3 rated 15 A 125 V
}
limit HL opens 121 C closes 93 C self-resetting senses HT HX
heater HT 1200 W 120 V
heater HX 1200 W 120 V
capacitor C1 1 uF 250 V
resistor R1 100 kohm
wire L to SW to F1 to HL to SEL.1  14 AWG 105 C
wire SEL.2 to HT to N  14 AWG 105 C
wire SEL.3 to HX to N  14 AWG 105 C
wire L to C1 to N
wire L to R1 to N
`;

/** The engine of the text, whose searches for extremes end as given. */
function engineWith(change: (found: Extremes) => Extremes): Engine {
  const [machine] = machinesOf(TEXT);
  expect(machine!.findings.map(({ what }) => what)).toEqual([]);
  const engine = toEnd(analyse(machine!));
  const { extreme } = engine;
  engine.extreme = (quantity, care) => change(extreme.call(engine, quantity, care));
  // Nor is anything known without a search.
  engine.atMost = () => Number.POSITIVE_INFINITY;
  return engine;
}

const JUDGED = [
  "contact-over-rating",
  "breaker-size",
  "cord-size",
  "wire-size",
  "capacitor-volts",
  "breaker-too-large",
];

function told(change: (found: Extremes) => Extremes): Finding[] {
  return toEnd(runChecks(engineWith(change))).filter(({ id }) => JUDGED.includes(id));
}

describe("a machine with nothing wrong, whose searches", () => {
  it("ended: nothing is said", () => {
    expect(told((found) => found)).toEqual([]);
  });

  it("were cut short with a bound below every limit: nothing is said", () => {
    expect(told((found) => ({ ...found, exact: false, bound: found.largest?.value ?? 0 }))).toEqual([]);
  });

  it.each([
    ["a bound above the limits", 1000, "at most 1000 A"],
    ["no bound at all", undefined, "an amount that is not known"],
  ])("were cut short with %s: each check says so, as information", (_words, bound, said) => {
    const findings = told((found) => ({ ...found, exact: false, ...(bound === undefined ? {} : { bound }) }));
    expect([...new Set(findings.map(({ id }) => id))].sort()).toEqual(
      JUDGED.filter((id) => id !== "breaker-too-large").sort(),
    );
    for (const { gravity, what, why, advice } of findings) {
      expect(gravity).toBe("information");
      expect(what).toMatch(/could not be judged/);
      expect(why).toMatch(/no all-clear/);
      expect(advice).not.toBe("");
    }
    expect(findings.find(({ id }) => id === "cord-size")?.what).toContain(said);
  });

  it("were cut short past a limit: what was found is told as that, not as a search cut short", () => {
    const findings = told((found) => ({
      ...found,
      exact: false,
      ...(found.largest ? { largest: { value: found.largest.value * 100, state: found.largest.state } } : {}),
    }));
    expect([...new Set(findings.map(({ id }) => id))].sort()).toEqual(
      JUDGED.filter((id) => id !== "breaker-too-large").sort(),
    );
    for (const { what } of findings) expect(what).not.toMatch(/could not be judged/);
  });

  it("reached nothing at all of what is asked: that is told too", () => {
    const findings = told(() => ({ exact: false }));
    expect(findings.map(({ id }) => id)).toEqual(
      expect.arrayContaining(["breaker-size", "wire-size", "capacitor-volts"]),
    );
  });
});

describe("a contact that carries 10 A, found to open 120 V of perhaps 240 V", () => {
  function said(rating: string): string[] {
    const [machine] = machinesOf(`machine "Bench"
supply 120/240 V 60 Hz legs L1 L2 N PE
switch SW 1 to 2 closed in on, open in off rated ${rating}
heater HT 1200 W 120 V
heater HX 1200 W 120 V
wire L1 to SW to HT to N
`);
    const engine = toEnd(analyse(machine!));
    const { extreme } = engine;
    engine.extreme = (quantity, care) => {
      const found = extreme.call(engine, quantity, care);
      return quantity.of === "breaks-volts" ? { ...found, exact: false, bound: 240 } : found;
    };
    return toEnd(runChecks(engine))
      .filter(({ id }) => id === "contact-over-rating")
      .map(({ what }) => what);
  }

  it.each([
    ["15 A 250 V", []],
    [
      "15 A 125 V",
      ["SW could not be judged to the end: it switches at least 120 V, and at most 240 V; the limit is 125 V."],
    ],
    [
      "15 A 125 V or 5 A 250 V",
      [
        "SW could not be judged to the end: it carries 10 A; the limit is 5 A at 250 V (it switches at least 120 V, and at most 240 V).",
      ],
    ],
    [
      "5 A 125 V or 15 A 250 V",
      [
        "SW could not be judged to the end: it carries 10 A; the limit is 5 A at 125 V (it switches at least 120 V, and at most 240 V).",
      ],
    ],
    ["5 A 125 V or 2 A 250 V", ["SW carries, makes and breaks 10 A; rated 5 A at 125 V."]],
  ])("rated %s", (rating, words) => {
    expect(said(rating)).toEqual(words);
  });
});

/** A heater in series with another, and nine switched ones of 10 W beside that: 512 kinds of state, weak in all for the same cause. */
const MANY = [...Array(9).keys()].map(
  (n) => `switch S${n} 1 to 2 closed in on, open in off\nheater H${n} 10 W 120 V\nwire HT.2 to S${n} to H${n} to N\n`,
);

it("more kinds of weak states than can be looked at: said", () => {
  const [machine] = machinesOf(`machine "Bench"
supply single 120 V 60 Hz breaker 15 A legs L N PE
heater HT 1000 W 120 V
heater HX 1000 W 120 V
wire L to HT to HX to N
${MANY.join("")}`);
  const weak = findingsOf(machine!, {}).filter(
    ({ place }) => machine!.parts.find(({ name }) => name === "HT")!.namePlace.from === place.from,
  );
  expect(weak.filter(({ id }) => id === "series-feed")).toHaveLength(1);
  expect(weak.find(({ id }) => id === "load-weak")).toMatchObject({
    gravity: "information",
    what: "HT has too few volts in more kinds of state than could be looked at; 400 were.",
  });
});
