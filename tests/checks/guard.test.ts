/** Guards that do not hold: of a hand from what moves, of water from a dry heater. Trade judgement, no published source. */
import { describe, expect, it } from "vitest";
import { findingsOf, machinesOf } from "./analysed.ts";

const told = (text: string) =>
  findingsOf(machinesOf(`machine "Bench"\nsupply single 230 V 50 Hz legs L N PE\n${text}`)[0]!, {}).filter(
    ({ id }) => id === "guard-defeated",
  );

const heated = (wiring: string) => `level WL {
  water empty low
  contact 1 to 2 in empty
  contact 1 to 3 in low
}
switch SW 1 to 2 closed in on, open in off
limit TL opens 100 C closes 80 C self-resetting senses HT
heater HT 2000 W 230 V guarded by WL in low
${wiring}
`;

describe("a heater that only water may be round", () => {
  it("is told as dry when it heats without; only the contact that could hold it off is named", () => {
    const [finding, ...more] = told(heated("wire L to SW to TL to HT to N"));
    expect(more).toEqual([]);
    expect(finding?.what).toBe("HT can heat without water: the level that guards it, WL low, does not hold.");
    expect(finding?.advice).toBe(
      "See that WL.1-3 is in series with every way to HT, and do not run the machine until that is so.",
    );
  });
  it("is not told behind the contact", () => {
    expect(told(heated("wire L to SW to WL.1\nwire WL.3 to TL to HT to N"))).toEqual([]);
  });
});

it("a drum that turns with the door open is told as a danger to whoever reaches in", () => {
  const [finding] = told(`switch DOOR {
  positions shut open
  contact 1 to 2 in shut
  contact 1 to 3 in open
}
switch SW 1 to 2 closed in on, open in off
motor M 230 V 1 A thermally-protected { moves "drum" guarded by DOOR in shut }
wire L to SW to M to N
`);
  expect(finding?.what).toBe("M can work while the guard does not hold, so drum is a danger to whoever reaches in.");
  expect(finding?.advice).toContain("See that DOOR.1-2 is in series with every way to M");
});

it("a lock that is said to guard nothing is told with the position that locks, and its own heater is no hazard", () => {
  const lock = `lock LK "lid lock" {
  feed L to N 230 V resistance 1.1 kohm
  contact L to C closes after 4 s, opens after 120 s
}
switch LID "lid switch" { positions shut open
  contact 1 to 2 in shut }
motor M 230 V 1 A thermally-protected { moves "basket" guarded by LID in shut }
wire L to LID to LK.L
wire LK.N to N
wire LK.C to M to N
`;
  const named = findingsOf(
    machinesOf(`machine "Bench"\nsupply single 230 V 50 Hz legs L N PE\n${lock}`)[0]!,
    {},
  ).filter(({ id }) => id === "guard-not-written");
  expect(named).toHaveLength(1);
  expect(named[0]!.what).toContain(
    "LK (lid lock) is called a guard by its name, and nothing says what it guards: M works",
  );
  expect(named[0]!.advice).toContain("guarded by LK in closed");
});
