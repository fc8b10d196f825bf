/**
 * Small random machines as text, a few hundred states at most: switches, a dial or timer, thermostat, limit, relay, guarded fan, loads on
 * one leg or two. Everything is drawn as plain numbers, so that it shrinks freely. Chains may share contacts, so there are back ways.
 */
import * as fc from "fast-check";

export interface MachineSketch {
  readonly split: boolean;
  readonly dial: "none" | "selector" | "timer";
  readonly thermostat: boolean;
  readonly limit: boolean;
  /** `holding`: started by a push, and held in by its own contact. */
  readonly relay: "none" | "plain" | "holding";
  readonly fan: boolean;
  readonly chains: readonly { readonly contacts: readonly number[]; readonly load: number; readonly to: number }[];
  readonly bridges: readonly { readonly a: number; readonly b: number }[];
}

const number = fc.nat(60);

export const machineSketches: fc.Arbitrary<MachineSketch> = fc.record({
  split: fc.boolean(),
  dial: fc.constantFrom("none", "selector", "timer"),
  thermostat: fc.boolean(),
  limit: fc.boolean(),
  relay: fc.constantFrom("none", "plain", "holding"),
  fan: fc.boolean(),
  chains: fc.array(
    fc.record({ contacts: fc.array(number, { minLength: 1, maxLength: 3 }), load: number, to: number }),
    { minLength: 1, maxLength: 4 },
  ),
  bridges: fc.array(fc.record({ a: number, b: number }), { maxLength: 1 }),
});

/** Statements one by one, so that a test may shuffle them. */
export interface WrittenMachine {
  readonly head: readonly string[];
  readonly parts: readonly string[];
  readonly wires: readonly string[];
}

export function writtenMachine(sketch: MachineSketch): WrittenMachine {
  const { split, dial, thermostat, limit, relay, fan, chains, bridges } = sketch;
  const line = split ? "L1" : "L";
  const parts = [
    'frame CAB "cabinet"',
    "switch S1 {\n  positions off on\n  contact 1 to 2 in on  rated 10 A 125 V or 5 A 250 V\n}",
    "switch S2 {\n  positions shut open\n  contact 1 to 2 in shut, else 3  rated 15 A 125 V or 1/3 hp 125 V\n}",
  ];
  const contacts = ["S1(1 2)", "S2(1 2)", "S2(1 3)"];
  if (dial === "selector") {
    parts.push(
      "selector D {\n  positions off low high\n  contact 1 to 2 in low or high  rated 15 A 125 V\n  contact 1 to 3 in high  rated 5 A 125 V\n}",
    );
    contacts.push("D(1 2)", "D(1 3)");
  }
  if (dial === "timer") {
    parts.push(
      "timer D {\n  rated 15 A 125 V\n  contact a H to X\n  contact b H to Y\n  chart 2 min per step {\n    steps  off 1  on 2  rest 1\n    a      -      XX    -\n    b      -      -X    X\n  }\n}",
    );
    contacts.push("D(H X)", "D(H Y)");
  }
  if (thermostat) {
    parts.push("thermostat CT opens 68 C closes 57 C rated 15 A 250 V");
    contacts.push("CT");
  }
  if (limit) {
    parts.push("limit HL opens 121 C closes 93 C senses A0 rated 25 A 250 V");
    contacts.push("HL");
  }
  if (relay !== "none") {
    parts.push(
      "relay K {\n  coil A1 to A2  120 V draws 40 mA pf 0.5 resistance 1.2 kohm\n  contact 1 to 2 while energised  rated 10 A 125 V\n}",
    );
    if (relay === "plain") contacts.push("K(1 2)");
  }
  const wires: string[] = [];
  const loads: string[] = [];
  const kinds: readonly ((name: string, volts: number) => string)[] = [
    (name, volts) => `heater ${name} 1200 W ${volts} V on CAB`,
    (name, volts) => `heater ${name} 2400 W ${volts} V`,
    (name, volts) => `lamp ${name} 10 W ${volts} V`,
    (name) => `resistor ${name} 4.3 kohm 10 W`,
  ];
  chains.forEach((chain, index) => {
    const both = split && chain.to % 3 === 0;
    const name = `A${index}`;
    parts.push(kinds[index === 0 ? 0 : chain.load % kinds.length]!(name, both ? 240 : 120));
    const own = [...new Set(chain.contacts.map((each) => contacts[each % contacts.length]!))];
    const size = ["", "", "  RD 14 AWG", "  BK 16 AWG 150 C"][(chain.to >> 1) % 4]!;
    wires.push(`wire ${line} to ${[...own, name].join(" to ")} to ${both ? "L2" : "N"}${size}`);
    loads.push(name);
  });
  if (relay !== "none") {
    const feed = contacts[chains[0]!.load % 3]!.replace(/\((\w+) (\w+)\)/, ".$2");
    if (relay === "holding") {
      parts.push("push P rated 10 A 125 V");
      wires.push(
        `wire ${feed} to P to K.A1`,
        `wire ${line} to K.1`,
        `wire K.2 to P.2`,
        `wire K.2 to A0.1`,
        "wire K.A2 to N",
      );
    } else wires.push(`wire ${feed} to K(A1 A2) to N`);
  }
  if (fan) {
    parts.push('fan F 120 V 30 W impedance-protected {\n  moves "blade" guarded by S2 in shut\n}');
    wires.push(`wire ${chains[0]!.to % 2 === 0 ? "S2.2" : "S1.2"} to F to N`);
  }
  for (const { a, b } of bridges) {
    const point = (at: number) => (at % 2 === 0 ? `${loads[at % loads.length]}.1` : ["S1.2", "S2.3", "S2.2"][at % 3]!);
    if (point(a) !== point(b)) wires.push(`wire ${point(a)} to ${point(b)}  BK 16 AWG`);
  }
  wires.push("bond CAB to PE");
  const supply = split ? "supply 120/240 V 60 Hz breaker 30 A" : "supply single 120 V 60 Hz breaker 15 A legs L N PE";
  return { head: ['machine "random"', supply], parts, wires };
}

export function machineText({ head, parts, wires }: WrittenMachine): string {
  return `${[...head, ...parts, ...wires].join("\n")}\n`;
}
