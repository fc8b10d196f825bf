/** Hover: what a person reads when resting on a word. The caret is `▮`. */
import { describe, expect, it } from "vitest";
import { hover } from "../../server/editor/hover.ts";
import { viewOf } from "./support.ts";

/** Facts of the hover at the caret, name to text, marks of escaping taken off. */
function hoverAt(source: string, withEngine = true): { head: string; facts: Map<string, string>; markdown: string } {
  const { view, caret } = viewOf(source, [], withEngine);
  const markdown = hover(view, caret)?.markdown ?? "";
  const plain = markdown.replace(/\\(.)/g, "$1");
  const facts = new Map([...plain.matchAll(/^\| (.+?) \| (.+) \|$/gm)].map((row) => [row[1]!, row[2]!]));
  return { head: plain.split("\n")[0]!, facts, markdown };
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
    expect(facts.get("heats when")).toBe("SUPPLY on, TM in warm, HL closed");
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
    for (const act of ["carries", "makes", "breaks"]) expect(facts.get(act)).toBe("22.5 A; 75 % of 30 A at 240 V");
  });
});

describe("a wire", () => {
  it("tells the current of that stretch", () => {
    const { head, facts } = hoverAt(heater("heater HT 5400 W 240 V").replace("HL to HT to L2", "HL t▮o HT to L2"));
    expect(head).toBe("**HL.2 to HT.1** wire");
    expect(facts.get("carries")).toMatch(/^up to 22\.5 A/);
  });
});

describe("a cell of a chart", () => {
  it("tells the step, what is closed in it and what runs", () => {
    const { head, facts } = hoverAt(heater("heater HT 5400 W 240 V").replace("XX     -", "X▮X     -"));
    expect(head).toBe("**TM warm 2** step 3 of 4");
    expect(facts.get("closed")).toBe("TM.heat");
    expect(facts.get("HT heats")).toBe("when SUPPLY on, HL closed");
    expect(facts.get("advances")).toBe("when SUPPLY on");
  });
});

describe("a word of the language", () => {
  it("tells what it means", () => {
    expect(hoverAt(heater("heater HT 5400 W 240 V").replace("limit HL", "lim▮it HL")).markdown).not.toBe("");
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
    expect(at("wire L to HT to N  BK 1▮0 AWG").facts.get("is")).toBe("5.26 mm² (ASTM B258)");
    expect(at("wire L to HT to N  G▮N/YE").facts.get("IEC 60757")).toBe("GN/YE");
  });
});
