/**
 * The machine: every name of the text resolved, every part broken down into the few things electricity knows
 * (contacts, loads, connections) and the things a person or the machine itself can change (controls).
 * Ids are indexes into the arrays of `Machine`. All quantities are SI: V, A, W, ohm, F, Hz, °C, s, m, mm2.
 */
import type {
  ConditionNode,
  ExpectStatement,
  FindingsStatement,
  NoteStatement,
  ProposalStatement,
  Tree,
} from "../../grammar/tree.ts";
import type { Finding } from "../base/finding.ts";
import type { Place } from "../base/place.ts";

export type PartId = number;
export type TerminalId = number;
export type ControlId = number;
export type ContactId = number;
export type LoadId = number;
export type WireId = number;

/** A complex number: an impedance in ohm or a phasor in V or A (rms). */
export interface Complex {
  readonly re: number;
  readonly im: number;
}

// ---------------------------------------------------------------- conditions

/** True when `control` stands in one of the positions p with `positions[p] === 1`. */
export interface Literal {
  readonly control: ControlId;
  readonly positions: Uint8Array;
}

/** OR of ANDs. `[]` is never, `[[]]` is always. */
export type Condition = readonly (readonly Literal[])[];

// ---------------------------------------------------------------- controls

export interface ControlPosition {
  /** As written in conditions: `shut`, `timed 3`, `closed`, `pulled-in`, `running left`. */
  readonly name: string;
  /** Group of timer steps that it belongs to, and its number within (from 1). */
  readonly group?: string;
  readonly number?: number;
  readonly place?: Place;
}

export type ControlRole =
  | "supply" // positions on, off: the plug or breaker
  | "timer" // steps of a chart
  | "fast-cam" // second, quick cam of a timer
  | "selector"
  | "switch"
  | "push"
  | "board"
  | "thermal" // thermostat, limit, link, built-in protector, overload: positions closed, open
  | "level" // water level, ordered
  | "level-setting" // knob of a level switch
  | "cycle" // inner on/off of an infinite switch or a `~` chart cell
  | "delay" // contact that acts after a time: positions before, after
  | "relay" // settled: positions dropped-out, pulled-in; the feed of a board: dead, alive
  | "trip" // settled (latch): level switch with its own reset level: positions reset, tripped
  | "motor" // settled: stopped, hums, running (or running left, running right)
  | "valve" // settled: shut, open (combined coils with memory)
  | "heat-memory"; // PTC or warmed part: positions cold, hot

/** A load class test used by rules of change: the load's class is at least `atLeast`. */
export interface LoadTest {
  readonly load: LoadId;
  readonly atLeast: "weak" | "works";
}

/** Which single changes a person, heat, water or time can make of an input control. */
export interface ChangeRule {
  /** Positions the change starts from and ends in (masks as in `Literal`). */
  readonly from: Uint8Array;
  readonly to: Uint8Array;
  /**
   * 1: only to the next position (last to first when both masks allow it), -1: only to the one before. Left out: from
   * any position of `from` to any of `to`.
   */
  readonly by?: 1 | -1;
  /** A person does it; left out for what heat, water, time or the machine itself does. */
  readonly byHand?: boolean;
  /** Loads that must all be below `atLeast` in the state before (a hot part cools only while unfed). */
  readonly unless?: readonly LoadTest[];
  /** Loads of which one must be energised in the state before (OR of ANDs); left out: always possible. */
  readonly needs?: readonly (readonly LoadTest[])[];
  /** Controls that must stand so in the state before. */
  readonly when?: Condition;
  /** In words for a path: `turn TM to {position}`, `open DOOR`, `TM advances`, `CT opens by heat`. */
  readonly words: string;
}

export interface Control {
  readonly id: ControlId;
  readonly part: PartId;
  /** As people call it in conditions: `TM`, `DOOR`, `DM`, `SUPPLY`. Unique in the machine. */
  readonly name: string;
  readonly role: ControlRole;
  readonly positions: readonly ControlPosition[];
  /** Resting position: nothing touched, 25 °C, empty, supply on. */
  readonly rest: number;
  /** Value follows from the circuit (relay, motor, valve): see `rule`. Inputs have `changes`. */
  readonly settled: boolean;
  readonly rule?: SettledRule;
  /** Left out: any position to any other in one change. */
  readonly changes?: readonly ChangeRule[];
  readonly place: Place;
}

/** How a settled control follows the circuit. Positions are indexes into the control's `positions`. */
export type SettledRule =
  /** A coil: class off drops out (0), works or over pulls in (1), weak keeps what it was. */
  | { readonly rule: "coil"; readonly load: LoadId }
  /** A coil in series that acts by current: at or above `pullsIn` position 1, below `dropsOut` position 0, else keeps. */
  | { readonly rule: "current"; readonly load: LoadId; readonly pullsIn: number; readonly dropsOut: number }
  /** Combined valve coils: opens when all of `opens` are energised, stays open while all of `stays` are. */
  | { readonly rule: "seat"; readonly opens: readonly LoadTest[]; readonly stays: readonly LoadTest[] }
  /**
   * Remembers without electricity (a level switch that trips at one level and resets at another): position 1 when
   * `sets` holds, 0 when `clears` holds, else keeps what it was. The conditions never name settled controls, and never both hold.
   */
  | { readonly rule: "latch"; readonly sets: Condition; readonly clears: Condition }
  | MotorRule;

/**
 * Positions: 0 stopped, 1 hums, 2 running; with a direction 2 running left, 3 running right.
 * From stopped or hums: a main winding in class works with a starting torque runs, otherwise a main winding at least
 * weak hums, otherwise stopped. Running stays while a main winding is in class works (direction kept), else stopped.
 * Starting torque: no start or auxiliary winding at all (shaded pole, universal), or the product of the winding currents times the
 * sine of the angle between them, |Im(Ia conj(Im))|, is at least `leastTorque` of |Ia||Im| and both are energised.
 */
export interface MotorRule {
  readonly rule: "motor";
  readonly mains: readonly LoadId[];
  readonly starts: readonly LoadId[];
  /**
   * Two equal windings with a run capacitor between them, reversed by feeding one or the other: `mains` and `starts` hold one each, and
   * either counts as the main winding. The direction is still told by the start winding's current against the main winding's.
   */
  readonly either?: true;
  readonly leastTorque: number;
  /** Present when the direction matters: sign of Im(Ia conj(Im)), both counted into their first terminal, that turns left. */
  readonly leftSign?: 1 | -1;
}

// ---------------------------------------------------------------- parts, terminals, wires

export interface Part {
  readonly id: PartId;
  readonly name: string;
  readonly kind: string;
  readonly label?: string;
  readonly type?: string;
  readonly place: Place;
  readonly namePlace: Place;
  readonly terminals: readonly TerminalId[];
  readonly controls: readonly ControlId[];
  readonly contacts: readonly ContactId[];
  readonly loads: readonly LoadId[];
  /** `at "blower housing"`: where it sits. */
  readonly at?: string;
  /** Motor marks: `impedance-protected`, `thermally-protected`. */
  readonly marks: readonly string[];
  /** Plate values kept for readouts and parts lists, in written order: `5400 W`, `240 V`, `1/3 hp`. */
  readonly plate: readonly string[];
  /** Frame terminal, when it has exposed metal. */
  readonly frame?: TerminalId;
  readonly poles?: number;
  readonly horsepower?: number;
  readonly moves?: { readonly label: string; readonly turning?: string };
}

export interface Terminal {
  readonly id: TerminalId;
  readonly part: PartId;
  /** As stamped: `C`, `1`, `frame`. Legs of the supply: `L1`. */
  readonly name: string;
  /** `TM.C`; for legs, splices and frames the bare name that the text uses. */
  readonly fullName: string;
  readonly place: Place;
}

export interface Wire {
  readonly id: WireId;
  readonly a: TerminalId;
  readonly b: TerminalId;
  /** `internal`: joined inside a part (connector pins, splice, shared terminals). */
  readonly kind: "wire" | "bond" | "strap" | "jumper" | "internal";
  readonly colour?: string;
  /** Conductor area and how it was written (`10 AWG`). */
  readonly area?: number;
  readonly sizeText?: string;
  readonly length?: number;
  readonly insulation?: number;
  /** This link of the chain, from the first point to the second. */
  readonly place: Place;
}

// ---------------------------------------------------------------- contacts

/** One tested point of a rating. Currents in A at `volts`. */
export interface RatingPoint {
  readonly volts: number;
  readonly duty: "general" | "resistive" | "motor" | "inductive" | "lamp" | "horsepower" | "pilot";
  /** Carrying current; for `pilot` the thermal current. */
  readonly amps?: number;
  /** Largest making and breaking currents where the mark states them (motor brackets x 6, pilot duty codes, hp). */
  readonly makes?: number;
  readonly breaks?: number;
  readonly horsepower?: number;
  readonly pilotCode?: string;
  readonly place: Place;
  /** As written. */
  readonly text: string;
}

export type ContactRole =
  | "switching" // opens and closes in normal use
  | "thermostat" // works in normal use, is not protection
  | "limit"
  | "link"
  | "overload"
  | "built-in-protector" // thermal protection
  | "fuse"
  | "breaker" // shorts only
  | "level"
  | "lock"; // protect against their own hazard when they sense it

export interface Contact {
  readonly id: ContactId;
  readonly part: PartId;
  /** `TM.heat`, `DOOR.1-2`, `CT`. */
  readonly name: string;
  readonly a: TerminalId;
  readonly b: TerminalId;
  readonly closed: Condition;
  readonly role: ContactRole;
  readonly ratings: readonly RatingPoint[];
  /** Loads it senses (limits, links, protectors). `undefined`: not written, counts for those it is in series with. */
  readonly senses?: readonly LoadId[];
  readonly opensAt?: number;
  /** Where its knob goes up to; `opensAt` is then where it begins. */
  readonly opensUpTo?: number;
  readonly closesAt?: number;
  /** Amps at which an overload opens, A. */
  readonly tripsAt?: number;
  /** `self` closes again, `hand` wants a button, `never` is a one-shot. */
  readonly resets?: "self" | "hand" | "never";
  /** Resistance when closed, 0 when not stated; current that leaks when open (triac), A. */
  readonly ohms: number;
  readonly leaks?: number;
  /** Changeover partner: breaks before this one makes. */
  readonly partner?: ContactId;
  /** Row of the part's chart, when it has one. */
  readonly chartRow?: number;
  readonly place: Place;
  readonly namePlace: Place;
}

// ---------------------------------------------------------------- loads

export type LoadKind =
  | "heater"
  | "bias-heater"
  | "igniter"
  | "winding"
  | "start-winding"
  | "fan"
  | "pump"
  | "drive"
  | "coil"
  | "valve"
  | "lamp"
  | "neon"
  | "buzzer"
  | "resistor"
  | "capacitor"
  | "ptc"
  | "sensor"
  | "diode"
  | "board"
  | "load";

export interface Load {
  readonly id: LoadId;
  readonly part: PartId;
  /** `HT`, `DM.main`, `TM.drive`. */
  readonly name: string;
  readonly kind: LoadKind;
  readonly a: TerminalId;
  readonly b: TerminalId;
  /** Volts it is made for; undefined when not stated (series resistors, capacitors). */
  readonly ratedVolts?: number;
  readonly ratedWatts?: number;
  readonly ratedAmps?: number;
  /**
   * Impedance in ohm, one per position of `control` (the motor or memory it depends on), or a single one.
   * `undefined` entries do not conduct.
   */
  readonly control?: ControlId;
  readonly impedance: readonly (Complex | undefined)[];
  /** Impedance in the first moment after switching on (locked rotor, cold filament, open armature). Left out: as running. */
  readonly inrush?: Complex;
  /** Where `inrush` comes from, for the reader: `nameplate`, `code letter L`, `NEC 430.251(A) over 6 x`, `common practice`. */
  readonly inrushSource?: string;
  /** Where `impedance` comes from, when not straight from the plate: `1/3 hp by NEC 430.248`, `power factor 0.5 assumed`. */
  readonly impedanceSource?: string;
  /** False when nothing was stated and the impedance is only a stand-in: amps are then told as "not known". */
  readonly known: boolean;
  /** Class bounds as fractions of `ratedVolts`: off below `weak`, weak below `works`, over from `over`. */
  readonly scale: { readonly weak: number; readonly works: number; readonly over: number };
  /** What an ohmmeter reads unplugged, when stated or computed for heaters. */
  readonly meterOhms?: {
    readonly ohms: number;
    readonly cold: boolean;
    readonly tolerance?: number;
    readonly stated: boolean;
  };
  /** Needs a thermal protector of its own: heaters, and motors without a mark. */
  readonly needsProtector: boolean;
  /** Reduced volts on purpose: `also at 120 V`, `through HT in auto`. */
  readonly alsoAt: readonly { readonly volts: number; readonly place: Place }[];
  readonly through: readonly { readonly load: LoadId; readonly when: Condition; readonly place: Place }[];
  readonly capacitance?: number;
  /** Rated volts of a capacitor: run or start duty. */
  readonly capacitorDuty?: "run" | "start";
  readonly place: Place;
  readonly namePlace: Place;
}

/** An ideal transformer between two pairs of terminals; `ratio` = primary volts / secondary volts. */
export interface Transformer {
  readonly part: PartId;
  readonly primary: readonly [TerminalId, TerminalId];
  readonly secondary: readonly [TerminalId, TerminalId];
  readonly ratio: number;
  /** Series impedance seen from the secondary, and magnetising impedance seen from the primary, ohm. */
  readonly series: Complex;
  readonly magnetising: Complex;
  readonly ratedVoltAmps?: number;
  readonly place: Place;
}

// ---------------------------------------------------------------- supply

export interface SupplyLeg {
  readonly name: string;
  readonly terminal: TerminalId;
  /** Rms phasor against the neutral or ground, V. */
  readonly volts: Complex;
  readonly role: "live" | "neutral" | "protective";
}

/** The size of a cord or of fixed wiring: area in mm2, and as written (`14 AWG`). */
export interface SizedConductor {
  readonly area: number;
  readonly text: string;
  readonly place: Place;
}

export interface Supply {
  readonly part: PartId;
  /** `120/240 V 60 Hz` as written. */
  readonly text: string;
  readonly form: "single" | "split" | "wye";
  readonly legs: readonly SupplyLeg[];
  readonly frequency: number;
  readonly breakerAmps?: number;
  readonly breakerPoles?: number;
  /** Conductors of the cord, and of the fixed wiring up to the outlet, where their size is written. */
  readonly cord?: SizedConductor;
  readonly wiring?: SizedConductor;
  /** Plug that fits both ways round: live and neutral may be swapped. */
  readonly reversible: boolean;
  /** The control with positions on, off. */
  readonly control: ControlId;
  /** False when the text has no supply and a stand-in was used. */
  readonly stated: boolean;
  readonly place: Place;
}

// ---------------------------------------------------------------- programs, guards, statements for later

export interface TimerProgram {
  readonly part: PartId;
  readonly control: ControlId;
  /** The timer's own motor; undefined: stepped by a board or by hand only. */
  readonly drive?: LoadId;
  /** Seconds of each step; 0 when the text does not say. */
  readonly seconds: readonly number[];
  readonly rows: readonly { readonly name: string; readonly cells: string; readonly place: Place }[];
  readonly repeats: boolean;
  readonly place: Place;
}

/** A hazard that must be off unless the guard holds: `moves "drum" guarded by DOOR in shut`. */
export interface Guard {
  readonly part: PartId;
  readonly loads: readonly LoadId[];
  /** Only while the motor turns so (`running right`), when written. */
  readonly only?: Condition;
  readonly hazard: string;
  readonly holds: Condition;
  readonly place: Place;
}

export type Target =
  | { readonly type: "part"; readonly part: PartId }
  | { readonly type: "terminal"; readonly terminal: TerminalId }
  | { readonly type: "contact"; readonly contact: ContactId }
  | { readonly type: "load"; readonly load: LoadId }
  | { readonly type: "position"; readonly control: ControlId; readonly position: number }
  | { readonly type: "group"; readonly control: ControlId; readonly group: string }
  | { readonly type: "leg"; readonly terminal: TerminalId }
  | { readonly type: "type"; readonly name: string }
  | { readonly type: "file"; readonly file: string };

/** One mention of something in the text; `defines` for the place that declares it. Sorted by place. */
export interface Mention {
  readonly place: Place;
  readonly target: Target;
  readonly defines: boolean;
}

export interface Expectation {
  readonly statement: ExpectStatement;
  readonly subject?: Target;
  readonly when?: Condition;
  readonly after?: readonly { readonly control: ControlId; readonly position: number }[];
  readonly place: Place;
}

export interface Machine {
  readonly label: string;
  readonly file: string;
  readonly tree: Tree;
  /** Stretch of text that belongs to this machine. */
  readonly place: Place;
  readonly supply: Supply;
  readonly parts: readonly Part[];
  readonly terminals: readonly Terminal[];
  readonly wires: readonly Wire[];
  readonly controls: readonly Control[];
  readonly contacts: readonly Contact[];
  readonly loads: readonly Load[];
  readonly transformers: readonly Transformer[];
  readonly programs: readonly TimerProgram[];
  readonly guards: readonly Guard[];
  readonly expectations: readonly Expectation[];
  readonly notes: readonly { readonly statement: NoteStatement; readonly subject?: Target; readonly place: Place }[];
  readonly proposals: readonly { readonly statement: ProposalStatement; readonly place: Place }[];
  readonly benchFindings: readonly { readonly statement: FindingsStatement; readonly place: Place }[];
  readonly mentions: readonly Mention[];
  /** Findings of writing and naming: syntax, duplicate, unknown, wrong kind, unused. */
  readonly findings: readonly Finding[];
}

/** Resolves a condition written anywhere in the machine's text; terms that cannot be resolved are left out of it. */
export type ResolveCondition = (machine: Machine, condition: ConditionNode) => Condition;

/** One position per control, in the order of `Machine.controls`. */
export type MachineState = Uint8Array;
