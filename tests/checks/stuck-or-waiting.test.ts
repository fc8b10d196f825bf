/** A step in which the timer never moves and one in which it waits are told apart. Worked by hand from the chart: which contact feeds the timer's motor. */
import { expect, test } from "vitest";
import { stepReadout } from "../../server/editor/step-readout.ts";
import { viewOf } from "../editor/support.ts";
import { findingsOf } from "./analysed.ts";

/** In fill the motor is fed past the level switch, in soak by nothing, in heat past the thermostat, in wash at once. */
const text = `machine "Bench"
supply single 120 V 60 Hz breaker 15 A legs L N PE
timer TM {
  drive M1 to M2 120 V draws 33 mA
  contact on    C to V
  contact full  C to F
  contact warm  C to W
  contact go    C to M
  chart 1 min per step {
    steps off 1 fill 1 soak 1 heat 1 wash 1
    on    -     X      X      X      X
    full  -     X      -      -      -
    warm  -     -      -      X      -
    go    -     -      -      -      X
  }
}
level WL { water empty full
  contact 1 to 2 in full
}
valve WV 120 V draws 90 mA
thermostat CT opens 68 C closes 57 C
heater HT 500 W 120 V
wire L to TM.C
wire TM.V to WV to N
wire TM.V to HT to N
wire TM.F to WL(1 2) to TM.M1
wire TM.W to CT to TM.M1
wire TM.M to TM.M1
wire TM.M2 to N
`;

test("fill waits for water, heat for the thermostat, soak is stuck, wash goes on", () => {
  const { view } = viewOf(`${text}▮`, [], true);
  const one = view.machines[0]!;
  const timer = one.machine.controls.find(({ role }) => role === "timer")!;
  const advances = (step: string): string | undefined => {
    const at = timer.positions.findIndex(({ name }) => name === step);
    return stepReadout(one, timer.id, at).facts.find(({ name }) => name === "advances")?.text;
  };
  expect(advances("fill")).toBe("when WL full");
  expect(advances("heat")).toBe("when CT closed");
  expect(advances("wash")).toBe("in every state of this step");
  expect(advances("soak")).toMatch(/^never by itself/);

  const stuck = findingsOf(one.machine).filter(({ id }) => id === "timer-stuck");
  expect(stuck.map(({ what }) => what)).toEqual([
    "TM never gets past soak: its own motor is not fed there in any state.",
  ]);
});
