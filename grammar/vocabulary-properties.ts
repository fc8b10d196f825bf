/** Property words: what may be said of a part, contact, winding or supply. Part of the one vocabulary table. */
import type { Dimension } from "./tree.ts";

/** Where a property may stand. */
export type Scope = "part" | "contact" | "winding" | "drive" | "coil" | "branch" | "supply";

/** One thing that may follow a property word; slots are filled in order, `many` ones again and again. */
export interface Slot {
  readonly take: "quantity" | "name" | "point" | "label" | "condition" | "words";
  readonly dimensions?: readonly Dimension[];
  /** For `words`: the phrases of which one may stand here. */
  readonly phrases?: readonly string[];
  readonly optional?: boolean;
  readonly many?: boolean;
}

export interface PropertyEntry {
  /** The words, joined by one space. */
  readonly word: string;
  readonly scopes: readonly Scope[];
  /** Kinds of part; left out: every kind. */
  readonly kinds?: readonly string[];
  readonly slots: readonly Slot[];
  /** One line, for hover, completion and the reference page. */
  readonly text: string;
  readonly example: string;
}

const quantity = (...dimensions: Dimension[]): Slot => ({ take: "quantity", dimensions });
const optional = (slot: Slot): Slot => ({ ...slot, optional: true });
const many = (slot: Slot): Slot => ({ ...slot, many: true });
const words = (...phrases: string[]): Slot => ({ take: "words", phrases, optional: true });
const points: readonly Slot[] = [{ take: "point", many: true }];
const condition: Slot = { take: "condition" };

const motors = ["motor", "pump", "fan", "load"];
const thermal = ["thermostat", "limit", "link", "overload", "control", "sensor", "ptc", "lock", "motor", "pump", "fan"];
const made: readonly Scope[] = ["part", "winding", "drive", "coil", "branch"];
const cut: readonly Slot[] = [
  many(quantity("temperature", "current")),
  words("by hand"),
  words("after"),
  optional(quantity("time")),
];

export const properties: readonly PropertyEntry[] = [
  // thermal
  {
    word: "opens",
    scopes: ["part", "contact"],
    kinds: thermal,
    slots: cut,
    text: "temperature or current at which it opens",
    example: "opens 68 C",
  },
  {
    word: "closes",
    scopes: ["part", "contact"],
    kinds: thermal,
    slots: cut,
    text: "temperature at which it closes again",
    example: "closes 57 C",
  },
  {
    word: "differential",
    scopes: ["part", "contact"],
    kinds: thermal,
    slots: [quantity("temperature-difference")],
    text: "how far it must cool to close again",
    example: "differential 12 K",
  },
  {
    word: "self-resetting",
    scopes: ["part", "contact"],
    kinds: thermal,
    slots: [],
    text: "closes again by itself when it has cooled",
    example: "self-resetting",
  },
  {
    word: "hand-reset",
    scopes: ["part", "contact"],
    kinds: thermal,
    slots: [],
    text: "stays open until somebody presses its button",
    example: "hand-reset",
  },
  {
    word: "one-shot",
    scopes: ["part", "contact"],
    kinds: thermal,
    slots: [],
    text: "opens once and never closes",
    example: "one-shot",
  },
  { word: "by hand", scopes: ["part"], kinds: thermal, slots: [], text: "set by its knob", example: "by hand" },
  {
    word: "senses",
    scopes: ["part", "contact"],
    kinds: thermal,
    slots: points,
    text: "the loads whose heat it feels",
    example: "senses HT",
  },
  {
    word: "warmed by",
    scopes: ["part", "contact"],
    slots: points,
    text: "the loads whose heat, light or current throws it",
    example: "warmed by IG",
  },
  {
    word: "at",
    scopes: ["part", "contact", "branch"],
    slots: [{ take: "label", optional: true }, optional(quantity("temperature"))],
    text: "where it sits, or at what temperature a value holds",
    example: 'at "blower housing"',
  },
  {
    word: "lowers",
    scopes: ["part", "branch"],
    slots: [quantity("temperature-difference")],
    text: "how far a bias heater lowers the set point",
    example: "lowers 14 K",
  },
  {
    word: "cycles",
    scopes: ["part", "contact"],
    slots: [quantity("share"), optional(condition)],
    text: "share of the time that it is closed",
    example: "cycles 45 % in mid",
  },
  // what a load takes
  {
    word: "draws",
    scopes: made,
    slots: [many(quantity("current", "power", "apparent-power"))],
    text: "what it takes at its rated voltage",
    example: "draws 21 mA pf 0.5",
  },
  {
    word: "runs",
    scopes: ["part", "winding"],
    kinds: motors,
    slots: [quantity("current", "power")],
    text: "current or power while running",
    example: "runs 5.2 A pf 0.62",
  },
  {
    word: "starts",
    scopes: ["part", "winding"],
    kinds: motors,
    slots: [quantity("current", "power")],
    text: "current of this winding alone at standstill",
    example: "starts 22 A pf 0.62",
  },
  {
    word: "locked rotor",
    scopes: ["part"],
    kinds: motors,
    slots: [quantity("current")],
    text: "current of the whole motor at standstill",
    example: "locked rotor 26 A",
  },
  {
    word: "inrush",
    scopes: made,
    slots: [quantity("current", "apparent-power")],
    text: "what it takes in the first moment",
    example: "inrush 0.6 A",
  },
  {
    word: "pf",
    scopes: made,
    slots: [quantity("count")],
    text: "power factor of the value before it",
    example: "pf 0.62",
  },
  {
    word: "resistance",
    scopes: [...made, "contact"],
    slots: [quantity("resistance"), words("cold", "hot"), words("at"), optional(quantity("temperature"))],
    text: "what an ohmmeter reads, unplugged",
    example: "resistance 2.6 kohm cold",
  },
  {
    word: "also at",
    scopes: made,
    slots: [many(quantity("voltage")), optional(condition)],
    text: "a lower voltage that it works at on purpose",
    example: "also at 120 V",
  },
  {
    word: "through",
    scopes: made,
    slots: [{ take: "point", many: true }, optional(condition)],
    text: "a load it is fed through on purpose",
    example: "through HT in auto",
  },
  {
    word: "strikes",
    scopes: ["part"],
    kinds: ["lamp"],
    slots: [quantity("voltage")],
    text: "voltage at which a neon lamp lights",
    example: "strikes 65 V",
  },
  {
    word: "neon",
    scopes: ["part"],
    kinds: ["lamp"],
    slots: [],
    text: "a neon lamp with its resistor",
    example: "neon",
  },
  { word: "filament", scopes: ["part"], kinds: ["lamp"], slots: [], text: "a filament lamp", example: "filament" },
  {
    word: "sheathed",
    scopes: ["part"],
    kinds: ["heater"],
    slots: [],
    text: "a coil inside a grounded metal tube",
    example: "sheathed",
  },
  {
    word: "attended",
    scopes: ["part"],
    kinds: ["heater", "load"],
    slots: [],
    text: "works under a person's eye: no limit by design",
    example: "attended",
  },
  { word: "gas", scopes: ["part"], kinds: ["valve"], slots: [], text: "passes gas", example: "gas" },
  // motors
  {
    word: "impedance-protected",
    scopes: ["part", "drive"],
    slots: [],
    text: "plate mark Z.P.: may stall for ever without harm",
    example: "impedance-protected",
  },
  {
    word: "thermally-protected",
    scopes: ["part"],
    slots: [],
    text: "plate mark T.P.: has its own protector",
    example: "thermally-protected",
  },
  {
    word: "code",
    scopes: ["part"],
    kinds: motors,
    slots: [{ take: "name" }],
    text: "code letter of the plate (locked-rotor kVA per hp)",
    example: "code L",
  },
  {
    word: "split-phase",
    scopes: ["part"],
    kinds: motors,
    slots: [],
    text: "start winding cut out by a switch",
    example: "split-phase",
  },
  {
    word: "capacitor-start",
    scopes: ["part"],
    kinds: motors,
    slots: [],
    text: "start winding with capacitor, cut out by a switch",
    example: "capacitor-start",
  },
  {
    word: "capacitor-run",
    scopes: ["part"],
    kinds: motors,
    slots: [],
    text: "auxiliary winding with capacitor, always in",
    example: "capacitor-run",
  },
  {
    word: "shaded-pole",
    scopes: ["part"],
    kinds: motors,
    slots: [],
    text: "one winding, starts by itself",
    example: "shaded-pole",
  },
  { word: "universal", scopes: ["part"], kinds: motors, slots: [], text: "commutator motor", example: "universal" },
  {
    word: "synchronous",
    scopes: ["part", "drive"],
    kinds: [...motors, "timer"],
    slots: [],
    text: "turns in step with the mains",
    example: "synchronous",
  },
  {
    word: "turns",
    scopes: ["part"],
    kinds: motors,
    slots: [words("left", "right"), words("with"), { take: "name", many: true }, words("alike")],
    text: "direction by polarity: terminals on the same side of the line",
    example: "turns left with 1 and 3 alike",
  },
  // relays and delays
  {
    word: "pulls in",
    scopes: ["part", "coil"],
    slots: [quantity("current", "voltage", "share")],
    text: "current or voltage at which it pulls in",
    example: "pulls in 9 A",
  },
  {
    word: "drops out",
    scopes: ["part", "coil"],
    slots: [quantity("current", "voltage", "share")],
    text: "current or voltage below which it drops out",
    example: "drops out 6 A",
  },
  {
    word: "closes after",
    scopes: ["part", "contact"],
    slots: [quantity("time")],
    text: "delay from feeding it to closing",
    example: "closes after 4 s",
  },
  {
    word: "opens after",
    scopes: ["part", "contact"],
    slots: [quantity("time")],
    text: "delay from its feed going to opening",
    example: "opens after 90 s",
  },
  {
    word: "opens when",
    scopes: ["part", "contact", "winding", "coil"],
    slots: [condition],
    text: "opens while this holds",
    example: "opens when DM running",
  },
  {
    word: "closes when",
    scopes: ["part", "contact", "winding", "coil"],
    slots: [condition],
    text: "closes while this holds",
    example: "closes when DM running",
  },
  {
    word: "leaks",
    scopes: ["part", "contact"],
    slots: [quantity("current")],
    text: "current that passes while it is open",
    example: "leaks 0.7 mA",
  },
  {
    word: "drops",
    scopes: ["part"],
    kinds: ["board", "relay"],
    slots: [{ take: "name", many: true }, condition],
    text: "contacts that the board opens by itself",
    example: "drops heat when WL in empty",
  },
  // timers, switches, levels
  {
    word: "waits for",
    scopes: ["part"],
    kinds: ["timer", "board"],
    slots: [condition],
    text: "stands still until this holds",
    example: "waits for WL in full",
  },
  {
    word: "turned by hand",
    scopes: ["part"],
    kinds: ["timer", "selector", "control"],
    slots: [optional(condition)],
    text: "how a person may turn it",
    example: "turned by hand in PP in pushed, forward only",
  },
  {
    word: "forward only",
    scopes: ["part"],
    kinds: ["timer", "selector"],
    slots: [],
    text: "turns one way only",
    example: "forward only",
  },
  {
    word: "normally closed",
    scopes: ["part", "contact"],
    kinds: ["push", "switch", "relay"],
    slots: [],
    text: "closed at rest, opened by pressing or by its coil",
    example: "normally closed",
  },
  {
    word: "normally open",
    scopes: ["part", "contact"],
    kinds: ["push", "switch", "relay"],
    slots: [],
    text: "open at rest, closed by pressing or by its coil",
    example: "normally open",
  },
  {
    word: "rests in",
    scopes: ["part"],
    kinds: ["switch", "selector", "level", "board", "control", "timer"],
    slots: [{ take: "name" }],
    text: "position when nobody touches it",
    example: "rests in off",
  },
  {
    word: "resets",
    scopes: ["part", "contact"],
    slots: [{ take: "name", many: true }],
    text: "position at which a level switch goes back",
    example: "resets low",
  },
  {
    word: "filled by",
    scopes: ["part"],
    kinds: ["level"],
    slots: points,
    text: "valves that raise the level",
    example: "filled by HV or CV",
  },
  {
    word: "emptied by",
    scopes: ["part"],
    kinds: ["level"],
    slots: points,
    text: "pumps that lower the level",
    example: "emptied by DP",
  },
  // capacitors, fuses
  {
    word: "run",
    scopes: ["part"],
    kinds: ["capacitor"],
    slots: [],
    text: "stays in while the motor runs",
    example: "run",
  },
  { word: "start", scopes: ["part"], kinds: ["capacitor"], slots: [], text: "in for starting only", example: "start" },
  {
    word: "bleeds",
    scopes: ["part"],
    kinds: ["capacitor"],
    slots: [quantity("resistance")],
    text: "built-in resistor that empties it",
    example: "bleeds 15 kohm",
  },
  { word: "time-delay", scopes: ["part"], kinds: ["fuse"], slots: [], text: "slow fuse", example: "time-delay" },
  { word: "fast-acting", scopes: ["part"], kinds: ["fuse"], slots: [], text: "quick fuse", example: "fast-acting" },
  {
    word: "part-number",
    scopes: ["part"],
    slots: [{ take: "label" }],
    text: "number to order it by",
    example: 'part-number "LK-2207"',
  },
  // supply
  {
    word: "breaker",
    scopes: ["supply"],
    slots: [quantity("current"), words("2-pole", "1-pole")],
    text: "breaker or fuse of the branch circuit",
    example: "breaker 30 A 2-pole",
  },
  {
    word: "legs",
    scopes: ["supply"],
    slots: [{ take: "name", many: true }],
    text: "names of the supply's points",
    example: "legs L N PE",
  },
  {
    word: "plug",
    scopes: ["supply"],
    slots: [words("reversible", "polarised", "polarized")],
    text: "kind of plug",
    example: "plug reversible",
  },
  {
    word: "cord",
    scopes: ["supply"],
    slots: [words("2-wire", "3-wire", "4-wire"), optional(quantity("wire-size"))],
    text: "wires of the cord, and their size",
    example: "cord 3-wire 14 AWG",
  },
  {
    word: "wiring",
    scopes: ["supply"],
    slots: [quantity("wire-size")],
    text: "size of the fixed wiring of the house that feeds it",
    example: "wiring 12 AWG",
  },
];
