/** A part that no wire reaches is told once, by its name; its exposed metal is told by its missing bond. */
import { expect, it } from "vitest";
import { findingsOf, machinesOf } from "./analysed.ts";

const told = (parts: string): string[] => {
  const [machine] = machinesOf(`machine "Bench"
supply single 120 V 60 Hz breaker 15 A legs L N PE
switch SW 1 to 2 closed in on, open in off
lamp DL 10 W 120 V
wire L to SW to DL to N
${parts}
`);
  return [...machine!.findings, ...findingsOf(machine!)].map(({ id }) => id);
};

it.each([
  ["a lamp", "lamp H2 10 W 120 V", "unused-part"],
  [
    "a motor with a protector",
    "motor DM 120 V 1/3 hp { winding main 4 to 5; protector 5 to 6 opens 120 C closes 65 C }",
    "unused-part",
  ],
  [
    "a timer",
    "timer TM {\n  drive 1 to 2 120 V draws 33 mA\n  contact adv C to A\n  chart 5 min per step {\n    steps off 1 on 2\n    adv   -     XX\n  }\n}",
    "unused-part",
  ],
  ["a frame", 'frame CAB "cabinet"', "unbonded-metal"],
  [
    "a heater that is only bolted on",
    'frame CAB "cabinet"\nheater HT 500 W 120 V attended on CAB\nbond CAB to PE',
    "unused-part",
  ],
  [
    "a motor that is only bonded",
    "motor DM 120 V 1/3 hp { winding main 4 to 5; frame }\nbond DM.frame to PE",
    "unused-part",
  ],
  [
    "a timer's motor that was forgotten",
    "timer TM {\n  drive 1 to 2 120 V draws 33 mA\n  contact adv C to A\n  chart 5 min per step {\n    steps off 1 on 2\n    adv   -     XX\n  }\n}\nlamp H3 10 W 120 V\nwire L to TM.C\nwire TM.A to H3 to N",
    "timer-stuck, loose-end",
  ],
  [
    "a coin slide that only lets a dial be turned",
    "push COIN\ntimer CM {\n  contact 1 to 2 rated 15 A 125 V\n  chart 5 min per step {\n    steps off 1 paid 6\n    1-2   -     XXXXXX\n  }\n  turned by hand in COIN in pressed, forward only\n}\nlamp H3 10 W 120 V\nwire L to CM to H3 to N",
    "",
  ],
  ["a push button that an expectation speaks of", "push COIN\nexpect DL off when COIN pressed, SW off", "unused-part"],
])("%s", (_name, parts, id) => {
  expect(told(parts).join(", ")).toBe(id);
});
