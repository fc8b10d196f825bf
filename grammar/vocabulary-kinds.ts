/** The kinds of part, and the statement words that are no kind. Part of the one vocabulary table. */
import type { Dimension } from "./tree.ts";

export interface KindEntry {
  readonly word: string;
  /** One line, for hover, completion and the reference page. */
  readonly text: string;
  /** Dimensions that may stand alone behind the name (`5400 W`). */
  readonly plate: readonly Dimension[];
  /** An example statement; the first completion snippet is made of it. */
  readonly example: string;
}

const load: readonly Dimension[] = ["voltage", "power", "current", "resistance", "frequency", "apparent-power"];
const motor: readonly Dimension[] = [...load, "horsepower", "speed", "count", "inductance"];
const thermal: readonly Dimension[] = ["temperature", "current", "voltage"];

export const kinds: readonly KindEntry[] = [
  { word: "splice", text: "wires joined without a part", plate: [], example: "splice S1" },
  { word: "connector", text: "plug and socket with pins", plate: [], example: "connector J1 pins 1 2 3" },
  { word: "frame", text: "a metal cabinet or chassis that must be bonded", plate: [], example: 'frame CAB "cabinet"' },
  {
    word: "timer",
    text: "program timer: contacts closed by steps of a chart",
    plate: ["voltage", "power", "frequency", "time"],
    example: "timer TM { }",
  },
  {
    word: "selector",
    text: "a knob with several positions",
    plate: ["count"],
    example: "selector SEL { positions off low high }",
  },
  {
    word: "switch",
    text: "a switch with positions: door, lid, line, rocker",
    plate: ["count"],
    example: "switch DOOR { positions shut open }",
  },
  { word: "push", text: "push button: 1 to 2 made while pressed", plate: [], example: 'push START "start button"' },
  {
    word: "level",
    text: "water level switch; its positions are ordered",
    plate: [],
    example: "level WL { water empty full }",
  },
  {
    word: "control",
    text: "infinite switch: cycles a heater by its knob",
    plate: ["voltage", "power", "current"],
    example: "control IC { positions off low high }",
  },
  {
    word: "board",
    text: "electronic control, seen from outside",
    plate: ["voltage", "power", "current", "frequency"],
    example: "board EB { feed L to N }",
  },
  {
    word: "lock",
    text: "door or lid lock: its contacts follow its coil or heater",
    plate: ["voltage", "power", "current", "resistance"],
    example: "lock LK { }",
  },
  {
    word: "thermostat",
    text: "works in normal use; is not protection",
    plate: thermal,
    example: "thermostat CT opens 68 C closes 57 C",
  },
  {
    word: "limit",
    text: "safety thermostat: opens only when something is wrong",
    plate: thermal,
    example: "limit HL opens 121 C closes 93 C",
  },
  { word: "link", text: "thermal link: opens once and never closes", plate: thermal, example: "link TL 91 C" },
  {
    word: "overload",
    text: "protector of a motor, by current and heat",
    plate: thermal,
    example: "overload OL opens 110 C closes 61 C",
  },
  { word: "heater", text: "heating element or coil", plate: load, example: "heater HT 5400 W 240 V" },
  { word: "motor", text: "motor with one or more windings", plate: motor, example: "motor DM 120 V 1/3 hp" },
  { word: "pump", text: "pump with its motor", plate: motor, example: "pump DP 120 V 0.9 A" },
  { word: "fan", text: "fan with its motor", plate: motor, example: "fan EF 120 V 15 W impedance-protected" },
  { word: "valve", text: "valve opened by a coil", plate: load, example: "valve HV 120 V draws 60 mA" },
  { word: "lamp", text: "filament, neon or other lamp", plate: load, example: "lamp DL 10 W 120 V" },
  { word: "buzzer", text: "buzzer or bell", plate: load, example: "buzzer BZ 120 V" },
  {
    word: "igniter",
    text: "hot surface igniter of a gas burner",
    plate: load,
    example: "igniter IG 120 V draws 3.6 A",
  },
  { word: "load", text: "anything else that takes power", plate: motor, example: "load OZ 120 V 12 W" },
  { word: "relay", text: "a coil and the contacts it moves", plate: load, example: "relay K1 { coil 1 to 2 120 V }" },
  {
    word: "capacitor",
    text: "run or start capacitor, or for interference",
    plate: ["capacitance", "voltage", "frequency"],
    example: "capacitor CR 15 uF 370 V",
  },
  {
    word: "resistor",
    text: "a resistor",
    plate: ["resistance", "power", "voltage"],
    example: "resistor RD 5.6 kohm 5 W",
  },
  { word: "ptc", text: "resistor that goes high when hot", plate: load, example: "ptc PS resistance 6 ohm cold" },
  {
    word: "sensor",
    text: "temperature or other sensor",
    plate: ["resistance", "temperature", "voltage", "current"],
    example: "sensor NT 10 kohm at 25 C",
  },
  { word: "fuse", text: "fuse: covers shorts, not heat", plate: ["current", "voltage"], example: "fuse F1 10 A 250 V" },
  {
    word: "transformer",
    text: "transformer with primary and secondary",
    plate: ["apparent-power", "power", "voltage", "frequency"],
    example: "transformer T1 { primary 1 to 2 120 V }",
  },
  { word: "diode", text: "rectifier diode, conducts from 1 to 2", plate: ["current", "voltage"], example: "diode D1" },
];

export interface StatementEntry {
  readonly word: string;
  readonly text: string;
  readonly example: string;
}

/** Statements of a file that declare no part. */
export const statements: readonly StatementEntry[] = [
  {
    word: "machine",
    text: "starts a machine; all that follows belongs to it",
    example: 'machine "Larkfield D5 electric dryer"',
  },
  {
    word: "supply",
    text: "the mains that the machine is plugged into",
    example: "supply 120/240 V 60 Hz breaker 30 A",
  },
  { word: "use", text: "takes the types of another file", example: 'use "parts.camleaf"' },
  { word: "type", text: "a part described once, used by `of type`", example: "type Q7 timer { }" },
  { word: "wire", text: "joins points in a chain", example: "wire L1 to TM.C  BK 10 AWG" },
  { word: "bond", text: "joins metal to protective earth", example: "bond DM.frame to PE" },
  { word: "strap", text: "a metal strap, as between frame and neutral", example: "strap CAB to N" },
  { word: "jumper", text: "a lead put in for a test", example: "jumper LID.1 to LID.2" },
  {
    word: "expect",
    text: "what the machine should do; told when it does not",
    example: "expect HT off when DOOR open",
  },
  { word: "note", text: "a remark for the next reader", example: 'note HT "new coil fitted"' },
  { word: "proposal", text: "a rewire to be tried out on paper", example: 'proposal "spin test" { }' },
  { word: "findings", text: "what was heard, seen and measured", example: 'findings "hums, will not spin" { }' },
];

/** What a proposal may say beside new parts and wires. */
export const proposalWords: readonly StatementEntry[] = [
  { word: "add", text: "puts in a part", example: "add fuse F1 10 A" },
  { word: "remove", text: "takes out a part or wire", example: "remove wire L1 to TM.C" },
  { word: "move", text: "puts a wire's end on another point", example: "move HT.1 to L2" },
  { word: "replace", text: "puts another part in the place of one", example: "replace TM by type Q9" },
  { word: "change", text: "changes the plate of a part or the supply", example: "change HT to 4800 W" },
  { word: "rename", text: "says that a part is called something else", example: "rename TM to T1" },
];

/** What findings are made of. */
export const findingsWords: readonly StatementEntry[] = [
  { word: "when", text: "how the machine stood", example: "when TM in spin, LID shut" },
  { word: "heard", text: "something heard", example: "heard DM hums" },
  { word: "seen", text: "something seen", example: "seen HT cold" },
  { word: "smelt", text: "something smelt", example: "smelt DM hot" },
  { word: "felt", text: "something felt", example: "felt DM hot" },
  { word: "volts", text: "a voltage read between two points", example: "volts TM.7 to N 118 V" },
  { word: "ohms", text: "a resistance read with the power off", example: "ohms DM.4 to DM.5 2.1 ohm unplugged" },
  { word: "amps", text: "a current read with the clamp", example: "amps HT 22 A" },
  { word: "watts", text: "a power read at the plug", example: "watts HT 5300 W" },
];
