/** How a person gets to the state that is shown. */
import { expect, it } from "vitest";
import { findingsOf, machinesOf } from "./analysed.ts";

it("a dial that its motor and a hand can move is told as turned", () => {
  const [machine] = machinesOf(`machine "Bench"
supply single 120 V 60 Hz legs L N PE
timer TM {
  drive A to B 120 V 3 W synchronous
  contact 1 to 2
  chart 1 min per step {
    steps off 1 wash 3
    1-2   -     -XX
  }
  turned by hand
  forward only
}
heater HT 700 W 120 V
wire L to TM.1
wire TM.2 to HT to N
wire L to TM.A
wire TM.B to N
`);
  const [finding] = findingsOf(machine!, {}).filter(({ id }) => id === "load-without-protector");
  expect(finding?.state?.steps).toEqual(["turn TM to wash 2"]);
});
