/** Hover: what a person reads when resting on a word. The caret is `▮`. */
import { describe, expect, it } from "vitest";
import { stateOfNames } from "../../server/editor/chosen-state.ts";
import { hover } from "../../server/editor/hover.ts";
import type { MachineView } from "../../server/editor/view.ts";
import type { Machine } from "../../server/machine/machine.ts";
import { viewOf } from "./support.ts";

/** Facts of the hover at the caret, name to text, marks of escaping taken off. */
function hoverAt(
  source: string,
  withEngine = true,
  name?: string,
  positions?: Record<string, string>,
): { head: string; facts: Map<string, string>; markdown: string } {
  const { view, caret } = viewOf(source, [], withEngine);
  const shown = ({ engine }: MachineView) => positions && engine && stateOfNames(engine, positions);
  const place = name === undefined ? caret : lastPlaceOf(view.machines[0]!.machine, name);
  const markdown = hover(view, place, shown)?.markdown ?? "";
  const plain = markdown.replace(/\\(.)/g, "$1");
  const facts = new Map([...plain.matchAll(/^\| (.+?) \| (.+) \|$/gm)].map((row) => [row[1]!, row[2]!]));
  return { head: plain.split("\n")[0]!, facts, markdown };
}

/** Where a terminal is named last. */
function lastPlaceOf({ mentions, terminals }: Machine, name: string): number {
  const named = mentions.filter(({ target }) => "terminal" in target && terminals[target.terminal]?.fullName === name);
  return named.at(-1)!.place.from;
}

const heater = (line: string) =>
  `
  machine "m"
  supply 120/240 V 60 Hz breaker 30 A
  timer TM {
    drive M1 to M2 120 V draws 21 mA
    contact heat A to B rated 30 A 240 V
    chart 1 min per step {
      steps off 1 warm 2 rest 1
      heat  -     XX     -
    }
  }
  limit HL opens 121 C closes 93 C rated 30 A 240 V
  ${line}
  wire L1 to TM.heat to HL to HT to L2
  wire L1 to TM to N
`.replace("wire L1 to TM to N", "wire L1 to TM.M1\n  wire TM.M2 to N");

describe("a load", () => {
  it("tells amps, volts and watts: 5400 W at 240 V are 22.5 A and 10.67 ohm (Ohm's law)", () => {
    const { head, facts } = hoverAt(heater('heater H▮T "coil" 5400 W 240 V'));
    expect(head).toBe("**HT** heater, coil");
    expect(facts.get("amps")).toBe("22.5 A");
    expect(facts.get("volts")).toBe("240 V");
    expect(facts.get("watts")).toBe("5.4 kW");
    // Cold: 240 V squared over 5400 W is 10.67 ohm hot; Cr20Ni80 has 1.018 times its cold ohms at 600 °C (GB/T 1234).
    expect(facts.get("unplugged")).toMatch(/^10\.5 ohm/);
  });

  it("says when it is energised, in words that can be pasted back, and by which way", () => {
    const { facts } = hoverAt(heater('heater H▮T "coil" 5400 W 240 V'));
    // That the supply is on goes without saying.
    expect(facts.get("heats when")).toBe("TM in warm, HL closed");
    expect(facts.get("fed from")).toBe("L1 through TM.heat, HL, HT to L2");
    expect(facts.get("protected by")).toBe("HL");
  });

  const relay = (coil: string) => `
    machine "m"
    supply single 120 V 60 Hz
    switch SW 1 to 2 closed in on, open in off
    push START
    relay K {
      coil A1 to A2 120 V draws 40 mA pf 0.5
      contact 13 to 14 while energised
      contact 23 to 24 while energised
    }
    heater H▮T 1200 W 120 V
    ${coil}
    wire K.A2 to N
    wire L to K(23 24) to HT to N
  `;

  it("says what to set where a relay alone would be named", () => {
    const { facts } = hoverAt(relay("wire L to SW to K.A1\nwire L to START(1 2)"));
    expect(facts.get("heats when")).toMatch(/^K \S+$/);
    expect(facts.get("that is")).toBe("SW on");
  });

  it("says what is needed where a relay that holds itself in remembers", () => {
    const { facts } = hoverAt(relay("wire L to SW to START to K.A1\nwire SW.2 to K(13 14) to K.A1"));
    expect(facts.get("heats when")).toMatch(/^K \S+$/);
    expect(facts.has("that is")).toBe(false);
    // START need not be pressed any more.
    expect(facts.get("needs")).toBe("SW on");
  });

  it("never shows a stand-in number: without watts, amps or ohms the amps are not known", () => {
    const { facts } = hoverAt('machine "m"\nsupply 120 V 60 Hz\nvalve V▮A 120 V\nwire L to VA to N\n');
    expect(facts.get("amps")).toMatch(/^not known/);
    expect(facts.get("unplugged")).toMatch(/^not known/);
  });

  it("says that the states are still being worked out while they are", () => {
    const { facts } = hoverAt(heater('heater H▮T "coil" 5400 W 240 V'), false);
    expect(facts.get("states")).toBe("still being worked out");
  });

  it("takes no markup from the text", () => {
    const { markdown } = hoverAt(heater('heater H▮T "<b>[x](y)</b> | `z`" 5400 W 240 V'));
    expect(markdown).toContain("\\<b\\>\\[x\\]\\(y\\)");
    expect(markdown).toContain("\\| \\`z\\`");
  });
});

describe("a contact", () => {
  it("tells what it carries, makes and breaks against its rating: 22.5 A are 75 % of 30 A", () => {
    const { facts } = hoverAt(heater("heater HT 5400 W 240 V").replace("contact heat", "contact he▮at"));
    expect(facts.get("closed when")).toBe("TM in warm");
    expect(facts.get("carries, makes and breaks")).toBe("22.5 A; 75 % of 30 A at 240 V; with TM in warm 1");
    expect(facts.get("unplugged")).toBe("below 0.5 ohm with TM in warm 1, open at rest, between TM.A and TM.B");
  });

  it("tells acts apart where they differ: a lamp's filament takes many times as much cold", () => {
    const { facts } = hoverAt(
      heater("lamp HT 60 W 240 V").replace("contact heat", "contact he▮at").replace("rated 30 A 240 V", ""),
    );
    expect(facts.get("carries and breaks")).toBe("250 mA; with TM in warm 1");
    expect(facts.get("makes")).toMatch(/ A; with TM in warm 1$/);
  });

  it("says so little of a rating in words: 21 mA are no 0 % of 30 A", () => {
    const { facts } = hoverAt(heater("lamp HT neon 240 V draws 21 mA").replace("contact heat", "contact he▮at"));
    expect(facts.get("carries, makes and breaks")).toMatch(/^21 mA; below 1 % of 30 A/);
  });

  it("tells what a knob may be set to", () => {
    const { facts } = hoverAt(
      'machine "m"\nsupply 120 V 60 Hz\nthermostat C▮T opens 5..35 C by hand differential 2 K\nheater HT 1 kW 120 V\nwire L to CT to HT to N\n',
    );
    expect(facts.get("acts")).toBe("opens at 5 to 35 °C, as it is set, closes 2 K below");
  });
});

describe("a terminal", () => {
  // ANSI C84.1: 120/240 V three-wire, each live leg 120 V against the neutral, 240 V between them.
  const at = (name: string, state: Record<string, string> = { TM: "warm 1" }) =>
    hoverAt(heater("heater HT 5400 W 240 V").replace("to HL to HT", "to HL.1\n  wire HL.2 to HT"), true, name, state);

  it("tells its volts now, what ends there, and when which leg reaches it", () => {
    const { facts } = at("HL.2", { TM: "warm 1", HL: "closed" });
    expect(facts.get("now")).toBe("120 V to N, 240 V to L2 with TM in warm 1");
    expect(facts.get("end of")).toBe("HL");
    expect(facts.get("on L1 when")).toBe("TM in warm, HL closed");
    // With the limit open it hangs on L2 through the coil.
    expect(at("HL.2", { TM: "warm 1", HL: "open" }).facts.get("now")).toBe(
      "120 V to N, 240 V to L1 with TM in warm 1, HL open",
    );
    expect(at("TM.M1", { TM: "off" }).facts.get("now")).toMatch(/^120 V to N/);
  });

  it("says nothing of contacts where a wire alone joins it to a leg", () => {
    const { facts } = at("TM.M1");
    expect([...facts.keys()].filter((name) => name.startsWith("on "))).toEqual([]);
  });

  it("of a leg tells what it carries against the breaker: 22.5 A are 75 % of 30 A", () => {
    const { head, facts } = at("L2");
    expect(head).toBe("**L2** leg of the supply");
    expect(facts.get("now")).toBe("22.5 A with TM in warm 1");
    expect(facts.get("carries")).toBe("up to 22.5 A steady; 75 % of the 30 A breaker; with TM in warm 1");
  });
});

describe("the supply and the metal", () => {
  it("of a leg named on the supply's line what that leg carries: 500 W at 120 V are 4.17 A", () => {
    const { head, facts } = hoverAt(`
      supply single 120 V 60 Hz breaker 15 A legs ▮L N PE
      heater HT 500 W 120 V attended
      wire L to HT to N
    `);
    expect(head).toBe("**L** leg of the supply");
    expect(facts.get("carries")).toContain("4.17 A");
  });

  it("of the supply's line all legs are told: 22.5 A on both, none in the neutral", () => {
    const { head, facts } = hoverAt(
      heater("heater HT 5400 W 240 V")
        .replace("supply 120/240", "sup▮ply 120/240")
        .replace("TM.M2 to N", "TM.M2 to L1"),
    );
    expect(head).toBe("**supply** 120/240 V 60 Hz");
    for (const leg of ["L1", "L2"])
      expect(facts.get(leg)).toBe(
        "120 V to neutral; carries up to 22.5 A steady; 75 % of the 30 A breaker; with TM in warm 1",
      );
    expect(facts.get("N")).toBe("neutral; carries no current in any state");
    expect(facts.get("PE")).toBe("protective earth; carries no current in any state");
  });

  it("of a machine that says nothing of its supply nothing is made up", () => {
    expect(hoverAt('machi▮ne "m"\nheater HT 1 kW 120 V\n').markdown).toMatch(/^starts a machine/);
  });

  it("of a frame what is bolted to it, and whether it is bonded", () => {
    const frame = (more: string) =>
      hoverAt(`machine "m"\nsupply 120 V 60 Hz\nframe C▮AB\nheater HT 1 kW 120 V on CAB\nwire L to HT to N\n${more}\n`);
    expect(frame("bond CAB to PE").facts.get("bonded")).toBe("to PE");
    expect(frame("bond CAB to PE").facts.get("one metal with")).toBe("HT");
    expect(frame("").facts.get("bonded")).toBe("to no protective earth");
  });
});

describe("ways of the current", () => {
  const two = (more: string) => `
    machine "m"
    supply 120/240 V 60 Hz
    switch S1 1 to 2 closed in on, open in off
    switch S2 1 to 2 closed in on, open in off
    heater HT 500 W 120 V
    ${more}
  `;

  it("are told for each reason that it works for", () => {
    const { facts } = hoverAt(two("wire L1 to S1 to H▮T to N\nwire L1 to S2 to HT.1"));
    expect([facts.get("fed from"), facts.get("also from")].sort()).toEqual([
      "L1 through S1, HT to N",
      "L1 through S2, HT to N",
    ]);
  });

  it("do not go through another load where one goes without", () => {
    const { facts } = hoverAt(two("heater H2 500 W 120 V\nwire L1 to S1 to H▮T to N\nwire L2 to H2 to HT.1"));
    expect(facts.get("fed from")).toBe("L1 through S1, HT to N");
    expect(facts.has("also from")).toBe(false);
  });
});

describe("a number in the middle between two", () => {
  it("is rounded the same way wherever it stands: 1505 W are 1.51 kW", () => {
    for (const watts of [1005, 1015, 1505, 1515, 1745, 2345, 4565]) {
      const { facts } = hoverAt(heater(`heater H▮T ${watts} W 240 V`), true, undefined, { TM: "warm 1" });
      const kilowatts = `${(Math.round(watts / 10) / 100).toString()} kW`;
      expect(facts.get("watts")).toBe(kilowatts);
      expect(facts.get("now")).toMatch(new RegExp(`, ${kilowatts} with`));
    }
  });
});

describe("a wire", () => {
  it("tells the current of that stretch", () => {
    const { head, facts } = hoverAt(heater("heater HT 5400 W 240 V").replace("HL to HT to L2", "HL t▮o HT to L2"));
    expect(head).toBe("**HL.2 to HT.1** wire");
    expect(facts.get("carries")).toMatch(/^up to 22\.5 A/);
  });
});

describe("a group of steps", () => {
  it("tells all of its steps at once", () => {
    const { head, facts } = hoverAt(heater("heater HT 5400 W 240 V").replace("warm 2", "wa▮rm 2"));
    expect(head).toBe("**TM warm** steps 2 to 3 of 4");
    expect(facts.get("lasts")).toBe("2 min");
    expect(facts.get("closed")).toBe("TM.heat");
    expect(facts.get("HT heats")).toBe("when HL closed");
    expect(facts.get("advances")).toBe("in all of these steps");
  });

  it("says where in it a contact is closed", () => {
    const { facts } = hoverAt(
      heater("heater HT 5400 W 240 V").replace("warm 2", "wa▮rm 2").replace("XX     -", "X-     -"),
    );
    expect(facts.get("closed")).toBe("TM.heat in warm 1");
    expect(facts.get("HT heats")).toBe("when TM in warm 1, HL closed");
  });
});

describe("a position", () => {
  it("is not said again in what holds there", () => {
    const { head, facts } = hoverAt(
      'machine "m"\nsupply 120 V 60 Hz\nswitch SW 1 to 2 closed in o▮n, open in off\nlimit HL opens 90 C\nheater HT 1 kW 120 V\nlamp DL 10 W 120 V\nwire L to SW to DL to N\nwire SW.2 to HL to HT to N\n',
    );
    expect(head).toBe("**SW on** position");
    expect(facts.get("HT heats")).toBe("when HL closed");
    expect(facts.get("DL lights")).toBe("always");
  });
});

describe("a cell of a chart", () => {
  it("tells the step, what is closed in it and what runs", () => {
    const { head, facts } = hoverAt(heater("heater HT 5400 W 240 V").replace("XX     -", "X▮X     -"));
    expect(head).toBe("**TM warm 2** step 3 of 4");
    expect(facts.get("closed")).toBe("TM.heat");
    expect(facts.get("HT heats")).toBe("when HL closed");
    expect(facts.get("advances")).toBe("in every state of this step");
  });
});

describe("a word of the language", () => {
  it("tells what it means", () => {
    expect(hoverAt(heater("heater HT 5400 W 240 V").replace("limit HL", "lim▮it HL")).markdown).not.toBe("");
  });

  const word = (line: string) => hoverAt(`machine "m"\nsupply 120 V 60 Hz\n${line}\n`).markdown;

  it("tells what it means where it stands", () => {
    expect(word("heater HT 1 kW 120 V\nexpect HT he▮ats when SUPPLY on")).toMatch(/volts that it works at/);
    expect(word("heater HT 1 kW 120 V\nexpect HT off wh▮en SUPPLY off")).toMatch(/every state/);
    expect(word("motor DM 120 V {\nwinding main 1 to 2 ru▮ns 5 A\n}")).toMatch(/while running/);
    expect(word("timer TM {\nturned by ha▮nd when SUPPLY on\n}")).toMatch(/person may turn/);
    expect(word("thermostat CT opens 5..35 C by ha▮nd")).toMatch(/knob/);
    expect(word("frame CAB\nheater HT 1 kW 120 V o▮n CAB")).toMatch(/frame/);
    expect(word("valve GV {\ncoil a 1 to 2 120 V\nseat s opens when a o▮n; stays while a on\n}")).toBe(
      "it has its volts",
    );
  });

  it("tells quantities in a file of types alone too", () => {
    const { facts } = hoverAt('type K limit "limit" opens 12▮0 C closes 90 C\n');
    expect(facts.get("is")).toBe("248 °F");
  });
});

describe("a stamp or a quantity", () => {
  const rated = (stamp: string) =>
    hoverAt(
      `machine "m"\nsupply 120/240 V 60 Hz\nswitch SW 1 to 2 closed in on, open in off rated ${stamp}\nheater HT 1 kW 240 V\nwire L1 to SW to HT to L2\n`,
    );

  it("tells what 16(4) A means by IEC 61058-1: four amps of motor, six times that when it starts", () => {
    const { head, facts } = rated("16(▮4) A 250 V");
    expect(head).toBe("**16(4) A 250 V** rating of a contact");
    expect(facts.get("resistive load, 250 V")).toBe("carries, makes and breaks 16 A");
    expect(facts.get("motor load, 250 V")).toMatch(/^runs 4 A; may make 24 A, six times that/);
  });

  it("tells a pilot duty code by NEMA ICS 5: B300 at 120 V makes 30 A, breaks 3 A, carries 5 A", () => {
    expect(rated("pilot duty B3▮00").facts.get("coils, 120 V")).toBe(
      "code B300: makes 30 A, breaks 3 A, carries 5 A (NEMA ICS 5, UL 508)",
    );
  });

  it("tells horsepower by NEC 430.248: 1/2 hp at 115 V runs 9.8 A", () => {
    expect(rated("1/▮2 hp 115 V").facts.get("motor, 115 V")).toMatch(/^0\.5 hp: runs 9\.8 A \(NEC 430\.248\)/);
  });

  it("tells quantities in other units: 250 °F are 121 °C, 10 AWG is 5.26 mm² (ASTM B258)", () => {
    const at = (line: string) => hoverAt(`machine "m"\nsupply 120 V 60 Hz\nheater HT 1 kW 120 V\n${line}\n`);
    expect(at("limit HL opens 25▮0 F closes 90 C").facts.get("is")).toBe("121 °C");
    expect(at("thermostat CT opens 5..3▮5 C by hand").facts.get("is")).toBe("41 °F to 95 °F");
    expect(at("switch SW 1 to 2 closed in on, open in off opens after 5 mi▮n").facts.get("is")).toBe("300 s");
    expect(at("wire L to HT to N  BK 1▮0 AWG").facts.get("is")).toBe("5.26 mm² (ASTM B258)");
    expect(at("wire L to HT to N  G▮N/YE").facts.get("IEC 60757")).toBe("GN/YE");
  });
});
