/** Findings of naming: each marked where it stands, with words that help. */
import { describe, expect, test } from "vitest";
import { expectMarked, load } from "../support/fixture.ts";

describe("unknown names, with the nearest", () => {
  test("a part, a terminal, a position", () => {
    expectMarked(`
      supply single 120 V 60 Hz
      switch DOOR {
        positions shut open
        contact 1 to 2 in shutt
                          ^^^^^ error unknown-position: Did you mean shut?
      }
      lamp DL 10 W 120 V
      wire L to DOR to DL to N
                ^^^ error unknown-part: Did you mean DOOR?
      wire L to DOOR.1
      wire L to DOOR.7
                     ^ error unknown-terminal: DOOR has no terminal 7; it has 1 and 2.
      expect DL off when DOOR oppen
                              ^^^^^ error unknown-position: Did you mean open?
    `);
  });

  test("terminals, contacts and windings apart", () => {
    expectMarked(`
      supply single 120 V 60 Hz
      timer TM {
            ^^ information unused-part: TM is not in the circuit yet: the wire that names it is not understood.
        drive M1 to M2 2 W 120 V
        contact run A to B
        chart 1 min per step {
          steps off 1 on 1
          run   -     X
        }
      }
      wire L to TM.E
                   ^ error unknown-terminal: TM has no terminal E; it has the terminals M1, M2, A and B, the contact run and the winding drive. Write one
    `);
  });

  test("a leg that this supply does not have", () => {
    expectMarked(`
      supply single 240 V 60 Hz legs L N PE
      heater HT 4500 W 240 V attended
      wire L to HT to L2
                      ^^ error unknown-part: The points of this supply are L, N, PE. A supply of two live legs
    `);
  });

  test("a load has no positions", () => {
    expectMarked(`
      supply single 120 V 60 Hz
      lamp DL 10 W 120 V
      heater HT 100 W 120 V
      wire L to DL to N
      wire L to HT to N
      expect DL off when HT hot
                         ^^ error no-positions: has no positions
    `);
  });

  test("a type and its kind", () => {
    expectMarked(`
      type V12 valve 120 V draws 90 mA
      machine "W"
      supply single 120 V 60 Hz
      valve HV of type V21
                       ^^^ error unknown-type: Did you mean V12?
      lamp CV of type V12
      ^^^^ error wrong-kind: is a valve
      wire L to HV to N
      wire L to CV to N
    `);
  });
});

describe("one name, one thing", () => {
  test("two parts, a part called after a leg, two steps, two contacts", () => {
    expectMarked(`
      supply single 120 V 60 Hz
      lamp DL 10 W 120 V
      lamp DL 15 W 120 V
           ^^ error duplicate-name: Two parts are called DL
      lamp PE 15 W 120 V
           ^^ error duplicate-name: supply leg
      wire L to DL to N
    `);
  });

  test("contact and terminal", () => {
    expectMarked(`
      supply single 120 V 60 Hz
      switch S {
        positions a b
        contact A to B in a
        contact A to C in b
      }
      timer TM {
        contact H H to F closed in on
                ^ error name-clash: both called H
        chart { steps off 1 on 1
        }
      }
      wire L to S.A
      wire L to TM.H
    `);
  });
});

describe("charts", () => {
  test("a row without contact, a contact without row, a row of the wrong length", () => {
    expectMarked(`
      supply single 120 V 60 Hz
      timer TM {
        contact heat A to B
        contact lost C to D
        ^^^^^^^^^^^^^^^^^^^ error contact-without-condition: no row
        chart 1 min per step {
          steps  off 1  on 3
          heat   -      XX
          ^^^^^^^^^^^^^^^^ error chart-row-length: 3 cells, the chart has 4 steps
          heet   -      XXX
          ^^^^ error chart-row-without-contact: Did you mean heat?
        }
      }
      wire L to TM.A
    `);
  });
});

describe("meaning of words", () => {
  test("a thermostat labelled as a limit", () => {
    expectMarked(`
      supply single 120 V 60 Hz
      thermostat HL "high limit" opens 121 C
                 ^^ warning thermostat-named-limit: declare it as: limit HL
      wire L to HL to N
    `);
  });

  test("a changeover that does not say where it stands", () => {
    expectMarked(`
      supply single 120 V 60 Hz
      switch S {
        positions a b
        contact 1 to 2 or 3
        ^^^^^^^^^^^^^^^^^^^ error contact-without-condition: else 3
      }
      wire L to S.1
    `);
  });

  test("a rating without volts; an unknown pilot duty code", () => {
    expectMarked(`
      supply single 120 V 60 Hz
      switch A 1 to 2 closed in on, open in off rated 15 A
                                                      ^^^^ warning rating-without-volts: names no voltage
      switch B 1 to 2 closed in on, open in off rated pilot duty E300
                                                                 ^^^^ error unknown-pilot-duty: no pilot duty code
      wire L to A to B to N
    `);
  });
});

describe("what nothing uses", () => {
  test("a part that no wire reaches, a type that no part is of", () => {
    const { findings } = load(`
      type V12 valve 120 V draws 90 mA
      machine "W"
      supply single 120 V 60 Hz
      lamp DL 10 W 120 V
      lamp EL 10 W 120 V
      wire L to DL to N
    `);
    expect(findings.map(({ id, unused }) => [id, unused])).toEqual([
      ["unused-type", true],
      ["unused-part", true],
    ]);
  });

  test("a shaft that only conditions ask about is used", () => {
    expectMarked(`
      supply single 120 V 60 Hz
      switch PP { positions pulled pushed
      }
      timer TM {
        turned by hand when PP pushed
        contact a 1 to 2 closed in on
        chart { steps off 1 on 1
        }
      }
      wire L to TM.1
    `);
  });
});

describe("use", () => {
  test("types of another file, and what is wrong with it told at the use line", () => {
    const { machines, findings } = load(`
      use "parts.camleaf"
      machine "W"
      supply single 120 V 60 Hz
      valve HV of type V12
      wire L to HV to N
      #- parts.camleaf
      type V12 valve 120 V draws 90 mA
    `);
    expect(findings).toEqual([]);
    expect(machines[0]!.loads[0]!.ratedAmps).toBe(0.09);
    expect(machines[0]!.loads[0]!.place.file).toBe("main.camleaf");
  });

  test("what is wrong with a used type is told at the part, its place beside it", () => {
    const { findings } = load(`
      use "parts.camleaf"
      machine "W"
      supply single 120 V 60 Hz
      limit HL of type K16
      wire L to HL to N
      #- parts.camleaf
      type K16 limit opens 120 C senses HT
    `);
    expect(findings.map(({ id, place, related }) => [id, place.file, related[0]?.place.file])).toEqual([
      ["unknown-part", "main.camleaf", "parts.camleaf"],
    ]);
  });

  test("missing, outside, in a circle", () => {
    expectMarked(`
      use "none.camleaf"
          ^^^^^^^^^^^^^^ error use-missing: no file none.camleaf
      use "/etc/x.camleaf"
          ^^^^^^^^^^^^^^^^ error use-outside: relative
      use "../x.camleaf"
          ^^^^^^^^^^^^^^ error use-outside: inside the workspace
      use "a.camleaf"
          ^^^^^^^^^^^ error use-cycle: circle
      #- a.camleaf
      use "b.camleaf"
      #- b.camleaf
      use "a.camleaf"
    `);
  });

  test("a file of types only is no machine, and is still checked", () => {
    const { machines, findings } = load(`
      type K1 switch {
        positions a b
        contact 1 to 2 in c
      }`);
    expect(machines).toEqual([]);
    expect(findings.map(({ id }) => id)).toEqual(["unknown-position"]);
  });
});

test("two machines in one file keep apart, and findings go to the one they stand in", () => {
  const { machines } = load(`
    machine "A"
    supply single 120 V 60 Hz
    lamp DL 10 W 120 V
    wire L to DL to N
    machine "B"
    supply single 230 V 50 Hz
    lamp DL 10 W 230 V
    wire L to DX to N
  `);
  expect(machines.map(({ label, findings }) => [label, findings.map(({ id }) => id)])).toEqual([
    ["A", []],
    ["B", ["unused-part", "unknown-part"]],
  ]);
});

test("errors of the text become findings of the machine", () => {
  const { findings } = load("supply single 120 V 60 Hz\nlamp DL 10 W 120 V\nwire L to DL to N\nheatr HT 5 W");
  expect(findings.some(({ gravity, what }) => gravity === "error" && what.length > 0)).toBe(true);
});
