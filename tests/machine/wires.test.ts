/** Chains of wires, as the language's page has them: in at the first terminal, out at the second. */
import { describe, expect, test } from "vitest";
import { expectMarked, machineOf, wiresOf } from "../support/fixture.ts";

const parts = `supply 120/240 V 60 Hz
  switch DOOR { positions shut open
    contact 1 to 2 in shut
  }
  switch CO { positions a b
    contact 1 to 2 in a, else 3
  }
  timer TM {
    contact run A to B closed in on
    chart { steps off 1 on 1
    }
  }
  limit HL opens 121 C
  heater HT 5400 W 240 V
  motor DM 120 V {
    winding main 4 to 5 runs 5 A
    speed-switch {
      contact 1 to 2 while running
    }
  }
  connector J1 pins 1 2
  splice SP
  frame CAB
`;

test("a chain passes through two-terminal parts, single contacts and windings", () => {
  const machine = machineOf(`${parts}wire L1 to TM.run to HL to HT to DM(2 1) to L2\nwire L1 to DM.main to N`);
  expect(wiresOf(machine)).toEqual([
    "L1 - TM.A",
    "TM.B - HL.1",
    "HL.2 - HT.1",
    "HT.2 - DM.2",
    "DM.1 - L2",
    "L1 - DM.4",
    "DM.5 - N",
  ]);
});

test("at the head it counts from the far end, at the tail up to the near end", () => {
  expect(wiresOf(machineOf(`${parts}wire HL to HT`))).toEqual(["HL.2 - HT.1"]);
  expect(wiresOf(machineOf(`${parts}wire DOOR(2 1) to N`))).toEqual(["DOOR.1 - N"]);
  expect(wiresOf(machineOf(`${parts}wire L1 to DOOR(2 1)`))).toEqual(["L1 - DOOR.2"]);
});

test("splices, frames, pins and legs are points", () => {
  const machine = machineOf(`${parts}wire L1 to SP to J1.1\nwire SP to J1.2\nbond CAB to PE\nstrap CAB to N`);
  expect(wiresOf(machine)).toEqual(["L1 - SP", "SP - J1.1", "SP - J1.2", "CAB - PE", "CAB - N"]);
  expect(machine.wires.map(({ kind }) => kind)).toEqual(["wire", "wire", "wire", "bond", "strap"]);
});

test("ground has other names", () => {
  expect(wiresOf(machineOf("supply single 120 V 60 Hz\nframe CAB\nbond CAB to G"))).toEqual(["CAB - PE"]);
});

test("colour, size, insulation and length hold for the whole chain", () => {
  const machine = machineOf(`${parts}wire L1 to HL to HT RD 10 AWG 150 C 1.2 m`);
  // 10 AWG is 5.26 mm2 (computed: 0.127 mm x 92^((36 - 10) / 39) across).
  for (const wire of machine.wires) {
    expect(wire).toMatchObject({ colour: "RD", sizeText: "10 AWG", insulation: 150, length: 1.2 });
    expect(wire.area).toBeCloseTo(5.26, 2);
  }
});

test("metal bolted to a cabinet is joined with it", () => {
  const machine = machineOf(`supply single 120 V 60 Hz\nframe CAB\nheater HT 500 W 120 V on CAB\nwire L to HT to N`);
  expect(wiresOf(machine)[0]).toBe("HT.frame - CAB");
});

describe("what a chain cannot know", () => {
  test("a changeover must name its terminal, in the middle, at the head and at the tail", () => {
    expectMarked(`
      supply single 120 V 60 Hz
      switch CO {
        positions a b
        contact 1 to 2 in a, else 3
      }
      lamp L1 5 W 120 V
      wire L to CO to L1 to N
                ^^ error name-the-terminal: as in CO(1 2)
      wire CO to N
           ^^ error name-the-terminal: as in CO.1
      wire L to CO.1
    `);
  });

  test("the rest of the chain is kept, and neighbours of the unclear link are not joined", () => {
    const machine = machineOf(`${parts}wire L1 to DOOR to HT to N`);
    expect(wiresOf(machine)).toEqual(["L1 - DOOR.1", "DOOR.2 - HT.1", "HT.2 - N"]);
  });
});
