/** Parts that switch: when each contact is closed, how its control rests and changes. */
import { describe, expect, test } from "vitest";
import { describeCondition, type Machine } from "../../server/machine/index.ts";
import { contactOf, controlOf, loadOf, machineOf } from "../support/fixture.ts";

const supply = "supply single 120 V 60 Hz\n";

function closed(machine: Machine, name: string): string {
  return describeCondition(machine, contactOf(machine, name).closed);
}

function words(machine: Machine, control: string): string[] {
  return controlOf(machine, control).changes?.map((rule) => rule.words) ?? [];
}

describe("timer", () => {
  const timer = `${supply}
    timer TM {
      drive M1 to M2  120 V draws 21 mA pf 0.5
      contact heat C to D  rated 25 A 240 V
      contact adv  M2 to K or R
      contact warm E to F
      chart 5 min per step {
        steps  off 1  timed 3  auto 2 of 90 s
        heat   -      XX-      X X
        adv    -      111      22
        warm   -      X~~      --
      }
    }`;

  test("one position a step, groups counted from 1, the first step rests", () => {
    const control = controlOf(machineOf(timer), "TM");
    expect(control.positions.map(({ name }) => name)).toEqual([
      "off",
      "timed 1",
      "timed 2",
      "timed 3",
      "auto 1",
      "auto 2",
    ]);
    expect(control.rest).toBe(0);
  });

  test("cells X, 1, 2 say where contacts are closed; spaces do not count", () => {
    const machine = machineOf(timer);
    expect(closed(machine, "TM.heat")).toBe("TM in timed 1..2 or auto");
    expect(closed(machine, "TM.adv to K")).toBe("TM in timed");
    expect(closed(machine, "TM.adv to R")).toBe("TM in auto");
    expect(contactOf(machine, "TM.adv to K").partner).toBe(contactOf(machine, "TM.adv to R").id);
  });

  test("~ cycles by itself", () => {
    const machine = machineOf(timer);
    expect(closed(machine, "TM.warm")).toBe("TM in timed 1 or when TM in timed 2..3, TM.warm.cycle on");
  });

  test("goes on by its own motor one step at a time, and by hand to any", () => {
    const machine = machineOf(timer);
    const { changes } = controlOf(machine, "TM");
    expect(changes).toMatchObject([
      { by: 1, needs: [[{ load: loadOf(machine, "TM.drive").id, atLeast: "works" }]] },
      { byHand: true },
    ]);
    expect(machine.programs[0]!.seconds).toEqual([300, 300, 300, 300, 90, 90]);
  });

  test("a dial that turns forward only while pushed in", () => {
    const machine = machineOf(`${supply}
      switch PP { positions pulled pushed
        contact 1 to 2 in pulled
      }
      timer TM {
        turned by hand when PP pushed
        forward only
        contact a 1 to 2
        chart { steps off 1 on 1
          a - X
        }
      }`);
    const hand = controlOf(machine, "TM").changes!.find((rule) => rule.byHand)!;
    expect(hand.by).toBe(1);
    expect(describeCondition(machine, hand.when!)).toBe("PP pushed");
  });

  test("text instead of a chart: closed in", () => {
    const machine = machineOf(`${supply}
      timer TM {
        contact a 1 to 2 closed in wash or spin 2..3
        chart { steps off 1 wash 4 spin 3
        }
      }`);
    expect(closed(machine, "TM.a")).toBe("TM in wash or spin 2..3");
  });
});

describe("switch, selector, push", () => {
  test("a written list rests in its first position; else names the other throw", () => {
    const machine = machineOf(`${supply}
      switch DOOR { positions shut open
        contact 1 to 2 in shut, else 3
      }`);
    expect(closed(machine, "DOOR.1-2")).toBe("DOOR shut");
    expect(closed(machine, "DOOR.1-3")).toBe("DOOR open");
    expect(controlOf(machine, "DOOR").rest).toBe(0);
  });

  test("a one-liner names both positions and rests in off", () => {
    const machine = machineOf(`${supply}switch LINE 1 to 2 closed in on, open in off`);
    expect(closed(machine, "LINE")).toBe("LINE on");
    const control = controlOf(machine, "LINE");
    expect(control.positions[control.rest]!.name).toBe("off");
  });

  test("each contact of a relay, push or switch may be open or closed at rest", () => {
    const machine = machineOf(`${supply}
      relay K {
        coil A1 to A2 120 V draws 40 mA
        contact 1 to 3 normally open
        contact 4 to 2 normally closed
        contact 5 to 6
      }
      push B {
        contact 1 to 2 normally open
        contact 3 to 4 normally closed
      }
      push P 1 to 2 normally closed, 3 to 4
      switch LID {
        positions up down
        contact 1 to 2 normally open
        contact 1 to 3 normally closed
      }`);
    expect(closed(machine, "K.1-3")).toBe("K pulled-in");
    expect(closed(machine, "K.4-2")).toBe("K dropped-out");
    expect(closed(machine, "K.5-6")).toBe("K pulled-in");
    expect(closed(machine, "B.1-2")).toBe("B pressed");
    expect(closed(machine, "B.3-4")).toBe("B released");
    expect(closed(machine, "P.1-2")).toBe("P released");
    expect(closed(machine, "P.3-4")).toBe("P pressed");
    expect(closed(machine, "LID.1-2")).toBe("LID down");
    expect(closed(machine, "LID.1-3")).toBe("LID up");
  });

  test("a push is made while pressed, a normally closed one while it is not", () => {
    const machine = machineOf(`${supply}push START rated 15 A 125 V\npush STOP normally closed`);
    expect(closed(machine, "START")).toBe("START pressed");
    expect(closed(machine, "STOP")).toBe("STOP released");
    expect(words(machine, "START")).toEqual(["press START", "let go of START"]);
  });

  test("an infinite switch cycles in its middle positions, and is closed for good in high", () => {
    const machine = machineOf(`supply 120/240 V 60 Hz
      control IC { positions off mid high
        contact L1 to H1 in mid or high cycles 45 % in mid
        contact L2 to H2 in mid or high
      }`);
    expect(closed(machine, "IC.L1-H1")).toBe("IC in mid or high, IC.L1-H1.cycle on or when IC in high");
    expect(closed(machine, "IC.L2-H2")).toBe("IC in mid or high");
  });
});

describe("level", () => {
  test("water rises while a valve works and falls while a pump does, one level at a time, or by hand", () => {
    const machine = machineOf(`${supply}
      level WL { water empty low full
        contact 1 to 2 in empty or low, else 3
      }
      valve WV 120 V draws 90 mA
      valve GV gas 120 V draws 60 mA
      pump PU 120 V draws 1.1 A`);
    const works = (name: string) => [[{ load: loadOf(machine, name).id, atLeast: "works" }]];
    expect(controlOf(machine, "WL").changes).toMatchObject([
      { by: 1, needs: works("WV") },
      { by: -1, needs: works("PU") },
      { by: 1, byHand: true },
      { by: -1, byHand: true },
    ]);
    expect(closed(machine, "WL.1-3")).toBe("WL in full");
  });

  test("below set compares water and knob", () => {
    const machine = machineOf(`${supply}
      level WL { water empty low high
        set low high
        contact C to E below set, else F
      }`);
    expect(closed(machine, "WL.C-E")).toBe("WL.set low, WL in empty or when WL.set high, WL in empty or low");
    expect(closed(machine, "WL.C-F")).toBe("WL in low or high, WL.set low or when WL in high");
  });

  test("one that resets lower than it trips remembers", () => {
    const machine = machineOf(`${supply}
      level WL { water empty low high
        set high
        resets empty
        contact C to E below set, else F
      }`);
    const { rule } = controlOf(machine, "WL.trip");
    expect(rule?.rule === "latch" && [rule.sets, rule.clears].map((each) => describeCondition(machine, each))).toEqual([
      "WL.set high, WL in high",
      "WL in empty",
    ]);
    expect(closed(machine, "WL.C-F")).toBe("WL.trip tripped");
  });
});

describe("thermal parts rest as 25 °C has them (trade review: a good defrost bimetal is open on the bench)", () => {
  test.each([
    ["thermostat T opens 68 C closes 57 C", "closed"],
    ["limit T opens 121 C closes 93 C", "closed"],
    ["link T 91 C", "closed"],
    ["thermostat T opens 13 C closes -7 C", "open"],
    ["thermostat T opens -12 C closes -3 C", "closed"],
    ["thermostat T opens 155 °F closes 135 °F", "closed"],
    ["thermostat T opens 60..290 C by hand", "closed"],
    ["overload T opens 110 C or 9 A after 8 s closes 61 C", "closed"],
  ])("%s", (text, position) => {
    const control = controlOf(machineOf(supply + text), "T");
    expect(control.positions[control.rest]!.name).toBe(position);
  });

  test("a link never closes again, a hand-reset limit only by its button", () => {
    const machine = machineOf(`${supply}link TL 91 C\nlimit HL opens 121 C hand-reset`);
    expect(words(machine, "TL")).toEqual(["TL opens for good"]);
    expect(controlOf(machine, "HL").changes).toMatchObject([{}, { byHand: true }]);
    expect(contactOf(machine, "TL")).toMatchObject({ role: "link", resets: "never", opensAt: 91 });
  });

  test("what is warmed opens only while its heater is fed", () => {
    const machine = machineOf(`${supply}heater DH 450 W 120 V
      thermostat DB opens 13 C closes -7 C warmed by DH`);
    expect(controlOf(machine, "DB").changes![0]).toMatchObject({ needs: [[{ load: loadOf(machine, "DH").id }]] });
  });

  test("at one place the lower one opens first, and closes last", () => {
    const machine = machineOf(`${supply}
      thermostat CT opens 68 C closes 57 C at "duct"
      limit HL opens 121 C closes 93 C at "duct"
      link TL 140 C at "duct"
      limit FL opens 121 C closes 93 C at "elsewhere"`);
    const when = (name: string, rule: number) => {
      const found = controlOf(machine, name).changes![rule]!.when;
      return found && describeCondition(machine, found);
    };
    expect(when("HL", 0)).toBe("CT open");
    expect(when("TL", 0)).toBe("CT open, HL open");
    expect(when("CT", 1)).toBe("HL closed");
    expect([when("CT", 0), when("HL", 1), when("FL", 0)]).toEqual([undefined, undefined, undefined]);
  });

  test("senses by name, by place, or not said", () => {
    const machine = machineOf(`${supply}
      heater HT 1000 W 120 V at "duct"
      limit A opens 121 C senses HT
      limit B opens 121 C at "duct"
      limit C opens 121 C at "far away"`);
    const ht = loadOf(machine, "HT").id;
    expect(["A", "B", "C"].map((name) => contactOf(machine, name).senses)).toEqual([[ht], [ht], undefined]);
  });
});

describe("parts thrown by heat and time", () => {
  test("a radiant sensor is made cold, and goes hot only while the igniter works", () => {
    const machine = machineOf(`${supply}igniter IG 120 V draws 3.3 A
      sensor FS 1 to 2 made cold, open hot warmed by IG`);
    const test = { load: loadOf(machine, "IG").id, atLeast: "works" };
    expect(closed(machine, "FS")).toBe("FS cold");
    expect(controlOf(machine, "FS").changes).toMatchObject([{ needs: [[test]] }, { unless: [test] }]);
  });

  test("a PTC warms while fed and cools only while it is not", () => {
    const machine = machineOf(`${supply}ptc PS resistance 6 ohm cold`);
    const load = loadOf(machine, "PS");
    expect(load.impedance[0]).toEqual({ re: 6, im: 0 });
    expect(load.impedance[1]!.re).toBeGreaterThan(1000);
    expect(controlOf(machine, "PS").changes).toMatchObject([
      { needs: [[{ load: load.id, atLeast: "weak" }]] },
      { unless: [{ load: load.id, atLeast: "weak" }] },
    ]);
  });

  test("a contact that closes after 4 s counts from its coil", () => {
    const machine = machineOf(`${supply}relay K { coil A1 to A2 120 V draws 40 mA
        contact 1 to 2 while energised closes after 4 s
      }`);
    expect(closed(machine, "K.1-2")).toBe("K pulled-in, K.1-2.delay after");
    const [on, off] = controlOf(machine, "K.1-2.delay").changes!;
    expect([describeCondition(machine, on!.when!), describeCondition(machine, off!.when!)]).toEqual([
      "K pulled-in",
      "K dropped-out",
    ]);
  });
});

describe("delays", () => {
  const delayed = (text: string) =>
    machineOf(`${supply}relay K { coil A1 to A2 120 V draws 40 mA
        contact 1 to 2 ${text}
      }`);

  test("of a relay that lets go late: closed at once, and some time after its coil is dead", () => {
    const machine = delayed("while energised opens after 90 s");
    expect(closed(machine, "K.1-2")).toBe("K pulled-in or when K.1-2.delay after");
    expect(controlOf(machine, "K.1-2.delay").changes).toMatchObject([
      { words: "K.1-2 acts" },
      { words: "time passes: K.1-2 goes back" },
    ]);
  });

  test("of a relay late both ways, whose contact need not say that it follows the coil", () => {
    for (const said of ["while energised ", ""])
      expect(closed(delayed(`${said}closes after 4 s, opens after 90 s`), "K.1-2")).toMatch(/K\.1-2\.delay after$/);
  });

  test("of a changeover: it stays on its other side as long", () => {
    const machine = delayed("while energised, else 3 closes after 4 s");
    expect(closed(machine, "K.1-2")).toBe("K pulled-in, K.1-2.delay after");
    expect(closed(machine, "K.1-3")).toBe("K dropped-out or when K.1-2.delay before");
  });

  test("of a door lock: it closes while its heater is fed, and opens some time after, by its own name", () => {
    const machine = machineOf(`${supply}lock LK { feed L to N 120 V resistance 1.1 kohm
        contact 3 to 4 closes after 4 s, opens after 90 s  rated 16 A 250 V
      }`);
    expect(machine.findings.filter(({ gravity }) => gravity === "error")).toEqual([]);
    expect(closed(machine, "LK.3-4")).toBe("LK closed");
    const feed = { load: loadOf(machine, "LK.feed").id, atLeast: "weak" };
    expect(controlOf(machine, "LK").changes).toMatchObject([{ needs: [[feed]] }, { unless: [feed] }]);
  });
});

describe("relays, valves, boards", () => {
  test("a coil by volts, a coil by current", () => {
    const machine = machineOf(`${supply}
      relay K { coil A1 to A2 120 V draws 40 mA pf 0.5
        contact 1 to 2 while energised, else 3
      }
      relay SR { coil 1 to 2 pulls in 9 A drops out 6 A
        contact 1 to 3 while energised
      }`);
    expect(controlOf(machine, "K").rule).toEqual({ rule: "coil", load: loadOf(machine, "K.coil").id });
    expect(controlOf(machine, "SR").rule).toMatchObject({ rule: "current", pullsIn: 9, dropsOut: 6 });
    expect(closed(machine, "K.1-3")).toBe("K dropped-out");
    expect(loadOf(machine, "SR.coil").ratedVolts).toBeUndefined();
  });

  test("seats of a gas valve: opening wants the coils at work, staying open only held", () => {
    const machine = machineOf(`${supply}valve GV {
        coil hold  1 to 2 120 V draws 55 mA
        coil boost 1 to 3 120 V draws 120 mA
        seat first opens when hold on, boost on; stays while hold on
      }`);
    const [hold, boost] = ["GV.hold", "GV.boost"].map((name) => loadOf(machine, name).id);
    expect(controlOf(machine, "GV").rule).toEqual({
      rule: "seat",
      opens: [
        { load: hold, atLeast: "works" },
        { load: boost, atLeast: "works" },
      ],
      stays: [{ load: hold, atLeast: "weak" }],
    });
  });

  test("a dead board has all its relays open; contacts that nothing decides are its own will", () => {
    const machine = machineOf(`${supply}board B { feed L to N draws 3 W
        contact heat H to 1
        triac pump L to 2 leaks 0.7 mA
        drops heat when WL in empty
      }
      level WL { water empty full
        contact 1 to 2 in full
      }`);
    expect(closed(machine, "B.heat")).toBe("B.heat on, B.power alive, WL full");
    expect(closed(machine, "B.pump")).toBe("B.pump on, B.power alive");
    expect(contactOf(machine, "B.pump").leaks).toBe(0.0007);
    expect(controlOf(machine, "B.power").rule?.rule).toBe("coil");
  });

  test("a fuse gets positions only when a condition asks for them", () => {
    const plain = machineOf(`${supply}fuse F1 10 A 250 V`);
    expect(plain.controls).toHaveLength(1);
    expect(closed(plain, "F1")).toBe("always");
    const asked = machineOf(`${supply}fuse F1 10 A 250 V\nlamp L1 10 W 120 V\nexpect L1 off when F1 blown`);
    expect(closed(asked, "F1")).toBe("F1 closed");
  });
});

describe("a thermostat of two throws, as of a water heater's upper element", () => {
  const text = (contact: string) => `${supply}
    thermostat UT opens 49 C closes 43 C {
      ${contact}
    }`;

  test.each(["contact 1 to 2, else 4", "contact 1 to 2 in closed, else 4", "contact 1 to 4 in open, else 2"])(
    "%s: heat throws it, and nothing else",
    (contact) => {
      const machine = machineOf(text(contact));
      expect(machine.controls.filter(({ part }) => machine.parts[part]!.name === "UT").map(({ role }) => role)).toEqual(
        ["thermal"],
      );
      expect(closed(machine, "UT.1-2")).toBe("UT closed");
      expect(closed(machine, "UT.1-4")).toBe("UT open");
    },
  );

  test("positions of its own stay a knob, in series with what heat does", () => {
    expect(closed(machineOf(text("positions off on\n contact 1 to 2 in on")), "UT.1-2")).toBe(
      "UT on, UT.thermostat closed",
    );
  });
});
