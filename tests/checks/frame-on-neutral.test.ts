/** Metal on the neutral: once allowed for ranges and dryers on two legs (NEC 250.140, from memory), deadly anywhere else. */
import { expect, it } from "vitest";
import { findingsOf, machinesOf } from "./analysed.ts";

const told = (supply: string, load = "heater HT 1000 W 230 V attended\nwire L to HT to N") =>
  findingsOf(machinesOf(`machine "m"\nsupply ${supply}\nframe CAB\nstrap CAB to N\n${load}`)[0]!, {}).find(
    ({ id }) => id === "frame-on-neutral",
  );

it.each([
  ["120/240 V 60 Hz cord 3-wire", "warning", /Older three-wire cords/],
  ["single 230 V 50 Hz legs L N PE", "error", /no breaker sees it/],
  ["single 230 V 50 Hz plug reversible legs L N PE", "error", /fits both ways round/],
])("%s: %s", (supply, gravity, why) => {
  const load = supply.startsWith("120/240") ? "heater HT 1000 W 240 V attended\nwire L1 to HT to L2" : undefined;
  const finding = told(supply, load);
  expect(finding?.gravity).toBe(gravity);
  expect(finding?.why).toMatch(why);
});
