/** Expectations about changes made one after the other: a hold-in relay forgets, a plain switch does not. Worked by hand. */
import { expect, it } from "vitest";
import { findingsOf, machinesOf } from "./analysed.ts";

const told = (wires: string, statement: string) =>
  findingsOf(
    machinesOf(`machine "Bench"
supply single 120 V 60 Hz breaker 15 A legs L N PE
push STOP normally closed
push START
switch DOOR {
  positions shut open
  contact 1 to 2 in shut
}
relay K {
  coil A1 to A2 120 V 5 W
  contact 13 to 14 while energised
  contact 23 to 24 while energised
}
lamp DL 10 W 120 V
${wires}
wire K.A2 to N
wire L to K(23 24) to DL to N
${statement}
`)[0]!,
    {},
  ).filter(({ id }) => id === "expectation");

const held = "wire L to DOOR(1 2) to STOP to START to K.A1\nwire STOP.2 to K(13 14) to K.A1";
const plain = "wire L to DOOR(1 2) to K.A1";

it("a relay that holds itself in stays out once the door was open", () => {
  expect(told(held, "expect DL stays off after DOOR open, DOOR shut")).toEqual([]);
  expect(told(held, "expect DL stays off after SUPPLY off, SUPPLY on")).toEqual([]);
  expect(told(held, "expect DL works after START pressed, START released when DOOR shut, STOP released")).toEqual([]);
});

it("with the relay straight behind the door the lamp comes back, and the way there is told", () => {
  const [finding] = told(plain, "expect DL stays off after DOOR open, DOOR shut");
  expect(finding?.what).toContain("it lights");
  expect(finding?.state?.steps?.slice(-2)).toEqual(["DOOR open", "DOOR shut"]);
});

it("a START that is said to be held starts it again", () => {
  const [finding] = told(held, "expect DL stays off after DOOR open, DOOR shut when START pressed");
  expect(finding?.state?.steps?.at(-1)).toBe("DOOR shut");
});

it("changes that can never be made say nothing", () => {
  expect(
    told(held, "expect DL stays off after DOOR open when K pulled-in, DOOR open").map(({ gravity }) => gravity),
  ).toEqual(["warning"]);
});
