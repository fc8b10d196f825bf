/** Whoever measures at a lock has waited: for it to close once fed, and to open once unplugged. Seconds and minutes of such locks: common practice, no published source. */
import { expect, it } from "vitest";
import { diagnosed } from "./support.ts";

const extractor = (lines: string) => `machine "Larkfield X4 spin extractor"
supply single 230 V 50 Hz breaker 10 A legs L N PE
switch CL "clockwork timer" 1 to 2 closed in on, open in off
lock LK "lid lock" {
  feed L to N 230 V resistance 1.1 kohm
  contact L to C closes after 4 s, opens after 120 s
}
motor SM "spin motor" 230 V 2 A thermally-protected
wire L to CL to LK.L
wire LK.N to N
wire LK.C to SM to N
findings "x" {
${lines}
}
`;
const suspects = (lines: string) =>
  diagnosed("samples/bench/none-lock", extractor(lines)).report.suspects.map(({ words }) => words);

it("a dead motor behind a fed lock: its contact or its heater, neither of them cleared by the lock being shut", () => {
  const lines = "when CL on\nheard SM dead\nvolts LK.L to LK.N 230 V\nvolts LK.C to N 0 V";
  const names = suspects(lines);
  expect(names[0]).toContain("LK.L-C (lid lock) never makes");
  expect(names[1]).toContain("LK.feed (lid lock) is open");
});

it("unplugged its contact is open, which speaks against nothing", () => {
  const { report } = diagnosed(
    "samples/bench/none-lock",
    extractor("when CL on\nheard SM dead\nohms LK.L to LK.C open unplugged lifted LK.C"),
  );
  expect(report.observations.map(({ verdict }) => verdict)).toEqual(["disagrees", "agrees"]);
});
