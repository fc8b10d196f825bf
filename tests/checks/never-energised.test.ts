/** Loads that no state at rest shows energised, though they are right. Trade judgement, no published source. */
import { expect, it } from "vitest";
import { findingsOf, machinesOf } from "./analysed.ts";

const never = (parts: string, wires: string): string[] =>
  findingsOf(
    machinesOf(`machine "Bench"
supply single 120 V 60 Hz breaker 15 A legs L N PE
switch SW 1 to 2 closed in on, open in off
${parts}
${wires}
`)[0]!,
    {},
  )
    .filter(({ id }) => id === "load-never-energised")
    .map(({ what }) => what.split(" ")[0]!);

const motor = `motor DM 120 V 1/3 hp thermally-protected {
  winding main 4 to 5  runs 5.2 A pf 0.62  starts 22 A pf 0.62
  winding start 3 to 5  starts 14 A pf 0.88
  speed-switch { contact 6 to 3 while stopped }
}`;
const fed = "wire L to SW to DM.4\nwire DM.4 to DM.6\nwire DM.5 to N";

it("the coil of a current relay has no volts to speak of", () => {
  const relay = "relay SR { coil 1 to 2 pulls in 12 A drops out 8 A; contact 3 to 4 closed in pulled-in }";
  const bare = motor.replace("  speed-switch { contact 6 to 3 while stopped }\n", "");
  expect(
    never(`${bare}\n${relay}`, "wire L to SW to SR(1 2) to DM.4\nwire SR.2 to SR(3 4) to DM.3\nwire DM.5 to N"),
  ).toEqual([]);
});

it("a start winding and a lamp across it live only while starting", () => {
  expect(never(`${motor}\nlamp DL 5 W 120 V`, `${fed}\nwire DM.3 to DL to N`)).toEqual([]);
});

it("a lamp that nothing feeds is told all the same", () => {
  const twin =
    "switch S2 {\n  positions left right\n  contact 1 to 2 in left\n  contact 3 to 4 in right\n}\nlamp DL 5 W 120 V";
  expect(never(`${motor}\n${twin}`, `${fed}\nwire L to S2(1 2) to S2.3\nwire S2.4 to DL to N`)).toEqual(["DL"]);
});
