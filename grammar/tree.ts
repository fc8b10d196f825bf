/**
 * The tree of one file. The parser never fails: it returns a tree and a list of errors for any text at all, and a
 * half-written statement costs that statement only. Nodes know text offsets (UTF-16, `to` exclusive); they know
 * nothing of electricity. A field that the writer has not typed yet is undefined, never a made-up value.
 */
export interface TextNode {
  readonly from: number;
  readonly to: number;
}

/** What the parser has to say about the text itself; `server/machine` turns it into a finding. */
export interface SyntaxError extends TextNode {
  /** Stable id, e.g. `unexpected-word`, `missing-brace`, `wrong-unit`, `chart-row-length`. */
  readonly id: string;
  readonly what: string;
  readonly advice: string;
  /** Replacement texts a person may choose from (nearest names, a missing brace). */
  readonly suggestions?: readonly string[];
}

export interface Comment extends TextNode {
  /** Text without the `#`. */
  readonly text: string;
}

/** A token as the formatter, semantic colouring and completion see it. */
export interface TokenInfo extends TextNode {
  readonly type: "word" | "number" | "quantity" | "label" | "brace" | "mark" | "newline-end" | "unknown";
}

export interface Tree extends TextNode {
  readonly text: string;
  readonly statements: readonly Statement[];
  readonly comments: readonly Comment[];
  readonly errors: readonly SyntaxError[];
  /** Tokens in text order, comments and white space left out. */
  readonly tokens: readonly TokenInfo[];
}

// ---------------------------------------------------------------- small nodes

/** A name of a part, terminal, contact, position or type, as written. */
export interface NameNode extends TextNode {
  readonly text: string;
}

/** `"..."`, quotes and escapes removed. */
export interface LabelNode extends TextNode {
  readonly text: string;
}

export type Dimension =
  | "voltage"
  | "current"
  | "power"
  | "apparent-power"
  | "resistance"
  | "capacitance"
  | "inductance"
  | "frequency"
  | "temperature"
  | "temperature-difference"
  | "time"
  | "length"
  | "wire-size"
  | "share"
  | "speed"
  | "horsepower"
  | "count";

/** A number with its unit. `value` is exact SI (W, V, A, ohm, F, H, Hz, °C, K, s, m, mm2, 0..1, rpm); hp and AWG keep a tag. */
export interface QuantityNode extends TextNode {
  /** As written, without surrounding space. */
  readonly text: string;
  readonly dimension: Dimension;
  /** SI value; for a range the smaller end. Horsepower is held in watts (1 hp = 745.699872 W). Wire size in mm2. */
  readonly value: number;
  /** The larger end of `65 to 71 C` or `60..290 C`. */
  readonly upper?: number;
  /** Further values of `120/240 V`, in order, the first left out. */
  readonly alternatives?: readonly number[];
  /** `±5 %`: 0.05. */
  readonly tolerance?: number;
  /** The unit as written: `kW`, `AWG`, `°F`. Empty when none was written. */
  readonly unit: string;
  /** The number as written, for units where the number itself is the name (AWG). */
  readonly number: string;
}

/** `TM`, `TM.C`, `L1`, `DM.main`. */
export interface PointNode extends TextNode {
  readonly part?: NameNode;
  /** Behind the dot: a terminal, contact or winding. */
  readonly terminal?: NameNode;
}

/** One link of a chain: a point, or a part passed through from one named terminal to another, `DM(2 1)`. */
export interface ChainLinkNode extends PointNode {
  readonly enter?: NameNode;
  readonly leave?: NameNode;
}

/** `timed`, `timed 3..8`, `auto 1..6`, `7`. Step numbers count from 1 within the named group, ends inclusive. */
export interface PositionNode extends TextNode {
  readonly name?: NameNode;
  readonly first?: number;
  readonly last?: number;
}

/** `TM in timed or auto 1..6`, `DOOR shut`, `DM running`, `hold on`. */
export interface TermNode extends TextNode {
  readonly subject?: PointNode;
  readonly positions: readonly PositionNode[];
}

/** Clauses joined by `or when`; each a list of terms that must all hold. An empty list of clauses: nothing was written. */
export interface ConditionNode extends TextNode {
  readonly clauses: readonly (readonly TermNode[])[];
}

/** One point of a rating set. Several voltages (`15 A 120/240 V`) stand as `voltage.alternatives`. */
export interface RatingPointNode extends TextNode {
  readonly current?: QuantityNode;
  /** In round brackets: motor load current (IEC 61058-1). */
  readonly motorCurrent?: QuantityNode;
  /** In square brackets: tungsten lamp peak current. */
  readonly lampCurrent?: QuantityNode;
  /** Behind a stroke: capacitive peak current. */
  readonly peakCurrent?: QuantityNode;
  /** In double pointed brackets: inductive load current. */
  readonly inductiveCurrent?: QuantityNode;
  readonly horsepower?: QuantityNode;
  /** `pilot duty B300`. */
  readonly pilotDuty?: NameNode;
  readonly voltage?: QuantityNode;
  /** A word that names the duty of this point: `resistive`, `motor`, `inductive`, `lamp`, `general`. */
  readonly duty?: NameNode;
}

/** `rated 15 A 125 V or 7.5 A 250 V`. */
export interface RatingNode extends TextNode {
  readonly points: readonly RatingPointNode[];
}

/** Anything a property may be followed by. */
export type PropertyValue =
  | { readonly type: "quantity"; readonly quantity: QuantityNode }
  | { readonly type: "name"; readonly name: NameNode }
  | { readonly type: "point"; readonly point: PointNode }
  | { readonly type: "label"; readonly label: LabelNode }
  | { readonly type: "condition"; readonly condition: ConditionNode }
  | { readonly type: "word"; readonly name: NameNode };

// ---------------------------------------------------------------- items: what a part is made of
// Items stand in the header of a part and in its block alike.

export type Item =
  | QuantityItem
  | PropertyItem
  | RatedItem
  | ContactItem
  | WindingItem
  | DriveItem
  | PositionsItem
  | ChartItem
  | SpeedSwitchItem
  | MovesItem
  | FrameItem
  | PinsItem
  | CoilItem
  | BranchItem
  | SeatItem
  | GuardedItem;

/** A bare quantity: `5400 W`, `240 V`, `1/3 hp`, `15 uF`, `91 C`. */
export interface QuantityItem extends TextNode {
  readonly item: "quantity";
  readonly quantity: QuantityNode;
}

/**
 * A property word of the vocabulary table with what follows it: `opens 68 C`, `draws 21 mA`, `pf 0.5`,
 * `resistance 2.6 kohm cold`, `senses HT`, `at "blower housing"`, `self-resetting`, `through HT in auto`,
 * `also at 120 V`, `pulls in 9 A`, `drops out 6 A`, `warmed by IG`, `turns left with 1 and 3 alike`.
 * `word` holds the words of the property joined by one space (`pulls in`, `closes after`, `turned by hand`). Words between or after
 * values are values of type `word` (`opens 110 C or 9 A after 8 s`: 110 C, 9 A, word `after`, 8 s; `by hand` is one word value).
 * `in mid`, `when TM in auto` behind a property is a condition value; a term about the part itself has no subject.
 */
export interface PropertyItem extends TextNode {
  readonly item: "property";
  readonly word: string;
  readonly wordFrom: number;
  readonly wordTo: number;
  readonly values: readonly PropertyValue[];
}

export interface RatedItem extends TextNode {
  readonly item: "rated";
  readonly rating: RatingNode;
}

/**
 * `contact run A to B in timed, else C rated 15 A 125 V`; without the word `contact` in one-line parts (`1 to 2 closed in on`).
 * `to` has one terminal, or two for a changeover (`A to B or C`, `A to B in shut, else C`): cells 1 and 2 of a chart row.
 */
export interface ContactItem extends TextNode {
  readonly item: "contact";
  /**
   * `contact`, `triac` (of a board), `protector` (a motor's own, `protector 8 to 5 opens 120 C closes 65 C`), or empty for
   * the terminals of a one-liner. A load's one-liner (`heater HT C to H 5400 W`) names its two terminals this way too.
   */
  readonly word: string;
  readonly name?: NameNode;
  readonly common?: NameNode;
  readonly throws: readonly NameNode[];
  /** `in shut`, `closed in timed or auto 1..6`: positions of the part itself. */
  readonly positions?: readonly PositionNode[];
  /** Positions named by `open in off` of a one-liner. */
  readonly openPositions?: readonly PositionNode[];
  /**
   * `while stopped`, `while running`, `while energised` (relays), `when hold on`. A term about the part itself has no
   * subject. `below set`, `above mid` are such a term with one position whose name is `below set` (one space).
   */
  readonly while?: ConditionNode;
  readonly rating?: RatingNode;
  /** Other properties of this contact: `closes after 4 s`, `opens after 90 s`, `resistance 0.1 ohm`, `leaks 0.7 mA`. */
  readonly properties: readonly PropertyItem[];
}

/** `winding main 4 to 5 runs 5.2 A pf 0.62 starts 22 A pf 0.62 resistance 2.1 ohm`. */
export interface WindingItem extends TextNode {
  readonly item: "winding";
  readonly name?: NameNode;
  readonly a?: NameNode;
  readonly b?: NameNode;
  /** `runs 5.2 A` then its `pf`, in written order; also `resistance`, a bare voltage, `opens when ...`. */
  readonly properties: readonly (PropertyItem | QuantityItem)[];
}

/** A timer's own motor: `drive M1 to M2 120 V 2.5 W draws 21 mA`. */
export interface DriveItem extends TextNode {
  readonly item: "drive";
  readonly name?: NameNode;
  readonly a?: NameNode;
  readonly b?: NameNode;
  readonly properties: readonly (PropertyItem | QuantityItem)[];
}

/**
 * Other things with two ends inside a part: `bias 3 to 4 120 V 5.5 kohm lowers 14 K` (thermostat), `feed L to N` and
 * `sense P to N` and `thermistor 1 to 2 4.8 kohm at 25 C` (board), `primary 1 to 2 120 V` and `secondary 3 to 4 24 V` (transformer),
 * `element 1 to 2 2100 W 240 V` (a heater with several).
 */
export interface BranchItem extends TextNode {
  readonly item: "branch";
  readonly word: "bias" | "feed" | "sense" | "thermistor" | "primary" | "secondary" | "element";
  readonly name?: NameNode;
  readonly a?: NameNode;
  readonly b?: NameNode;
  readonly properties: readonly (PropertyItem | QuantityItem)[];
}

/** `seat first opens when hold on, boost on; stays while hold on`: a valve moved by several coils, with memory. */
export interface SeatItem extends TextNode {
  readonly item: "seat";
  readonly name?: NameNode;
  readonly opens?: ConditionNode;
  readonly stays?: ConditionNode;
}

/** A coil of a relay or a combined valve: `coil hold 1 to 3 120 V draws 60 mA resistance 1.3 kohm`. */
export interface CoilItem extends TextNode {
  readonly item: "coil";
  readonly name?: NameNode;
  readonly a?: NameNode;
  readonly b?: NameNode;
  readonly properties: readonly (PropertyItem | QuantityItem)[];
}

/** `positions shut open`, `water empty low mid high`; the first is the resting one. */
export interface PositionsItem extends TextNode {
  readonly item: "positions";
  /** `positions`, `water` or `set`. */
  readonly word: string;
  readonly names: readonly NameNode[];
}

/** `chart 5 min per step { steps ... }`; `fast` marks a second, quick cam (`chart fast 15 s per step repeats`). */
export interface ChartItem extends TextNode {
  readonly item: "chart";
  readonly name?: NameNode;
  readonly perStep?: QuantityNode;
  readonly fast: boolean;
  readonly repeats: boolean;
  readonly steps: readonly ChartStepsNode[];
  readonly rows: readonly ChartRowNode[];
}

/** `off 1`, `timed 12`, `spin 2 of 45 s`: a named group of steps. */
export interface ChartStepsNode extends TextNode {
  readonly name: NameNode;
  readonly count: number;
  readonly perStep?: QuantityNode;
}

/** One row: the contact's name and one cell a step (`X` closed, `-` open, `1` `2` throws, `~` cycles). */
export interface ChartRowNode extends TextNode {
  readonly name: NameNode;
  readonly cells: readonly ChartCellNode[];
}

export interface ChartCellNode extends TextNode {
  readonly text: string;
}

/** `speed-switch { contact ... }`: thrown by the shaft. */
export interface SpeedSwitchItem extends TextNode {
  readonly item: "speed-switch";
  readonly contacts: readonly ContactItem[];
}

/** `moves "drum and blower" turning right guarded by DOOR in shut`. */
export interface MovesItem extends TextNode {
  readonly item: "moves";
  readonly label?: LabelNode;
  readonly turning?: NameNode;
  readonly guard?: GuardNode;
}

/** `guarded by WL in full or flood`. */
export interface GuardedItem extends TextNode {
  readonly item: "guarded";
  readonly guard: GuardNode;
}

export interface GuardNode extends TextNode {
  readonly condition: ConditionNode;
}

/** `frame`: exposed metal, gives the terminal `frame`. `on CAB`: bolted to that frame. */
export interface FrameItem extends TextNode {
  readonly item: "frame";
  readonly on?: NameNode;
}

/** `pins 1 2 3` of a connector. */
export interface PinsItem extends TextNode {
  readonly item: "pins";
  readonly names: readonly NameNode[];
}

// ---------------------------------------------------------------- statements

export type Statement =
  | MachineStatement
  | SupplyStatement
  | PartStatement
  | TypeStatement
  | UseStatement
  | WireStatement
  | ExpectStatement
  | NoteStatement
  | ProposalStatement
  | FindingsStatement;

/** `machine "Larkfield D5 electric dryer"`: starts a machine; all that follows, up to the next one, belongs to it. */
export interface MachineStatement extends TextNode {
  readonly statement: "machine";
  readonly label?: LabelNode;
}

/**
 * `supply 120/240 V 60 Hz breaker 30 A`, `supply 120/208 V`, `supply single 230 V 50 Hz legs L N PE plug reversible`.
 * `properties`: `breaker`, `legs`, `plug`, `cord`, `strap`, ...; bare quantities stand in `quantities`.
 */
export interface SupplyStatement extends TextNode {
  readonly statement: "supply";
  readonly form?: NameNode;
  readonly quantities: readonly QuantityNode[];
  readonly properties: readonly PropertyItem[];
}

export interface PartStatement extends TextNode {
  readonly statement: "part";
  /** The kind word: `heater`, `timer`, `switch`, ... (always one of the vocabulary's kinds). */
  readonly kind: NameNode;
  readonly name?: NameNode;
  readonly label?: LabelNode;
  /** `of type Q7`. */
  readonly ofType?: NameNode;
  readonly items: readonly Item[];
  /** Place of the braces, when there is a block. */
  readonly block?: TextNode;
}

/** `type Q7 timer { ... }`: a part described once. */
export interface TypeStatement extends TextNode {
  readonly statement: "type";
  readonly name?: NameNode;
  readonly kind?: NameNode;
  readonly label?: LabelNode;
  readonly items: readonly Item[];
  readonly block?: TextNode;
}

export interface UseStatement extends TextNode {
  readonly statement: "use";
  readonly path?: LabelNode;
}

/** `wire A to B to C RD 10 AWG 150 C 1.2 m`, `bond DM.frame to PE`, `strap CAB to N`. */
export interface WireStatement extends TextNode {
  readonly statement: "wire";
  readonly word: "wire" | "bond" | "strap" | "jumper";
  readonly name?: NameNode;
  readonly links: readonly ChainLinkNode[];
  /** Colour letters as written: `RD`, `W/BK`, `GNYE`. */
  readonly colour?: NameNode;
  readonly size?: QuantityNode;
  readonly length?: QuantityNode;
  readonly insulation?: QuantityNode;
  readonly label?: LabelNode;
}

/**
 * `expect HT off when DOOR open`, `expect TM waits when ...`, `expect GV.main gets 115..118 V when ...`,
 * `expect DM stays off after DOOR open, DOOR shut`.
 */
export interface ExpectStatement extends TextNode {
  readonly statement: "expect";
  readonly subject?: PointNode;
  /** `off`, `works`, `runs`, `heats`, `waits`, `advances`, `gets`, `stays off`, `closed`, `open`, ... */
  readonly verb?: NameNode;
  readonly quantity?: QuantityNode;
  readonly when?: ConditionNode;
  /** Single changes, in order, of `after DOOR open, DOOR shut`. */
  readonly after?: readonly TermNode[];
}

export interface NoteStatement extends TextNode {
  readonly statement: "note";
  readonly subject?: PointNode;
  readonly label?: LabelNode;
  /** `photo "timer.jpg"`. */
  readonly photo?: LabelNode;
}

export interface ProposalStatement extends TextNode {
  readonly statement: "proposal";
  readonly label?: LabelNode;
  /** `with "other proposal"`. */
  readonly with: readonly LabelNode[];
  readonly edits: readonly ProposalEdit[];
  readonly block?: TextNode;
}

export type ProposalEdit =
  | { readonly edit: "wire"; readonly wire: WireStatement; readonly from: number; readonly to: number }
  | { readonly edit: "add"; readonly part: PartStatement; readonly from: number; readonly to: number }
  /** `remove HL`, `remove wire L1 to TM.C`. */
  | {
      readonly edit: "remove";
      readonly part?: NameNode;
      readonly wire?: WireStatement;
      readonly from: number;
      readonly to: number;
    }
  /** `move HT.1 to L2`, `move wire TM.D to CT end CT.1 to HL.1`. */
  | {
      readonly edit: "move";
      readonly point?: PointNode;
      readonly wire?: WireStatement;
      readonly target?: PointNode;
      readonly from: number;
      readonly to: number;
    }
  /** `replace TM by type Q9`, `replace HT by heater 4800 W 240 V`. */
  | {
      readonly edit: "replace";
      readonly part?: NameNode;
      readonly byType?: NameNode;
      readonly by?: PartStatement;
      readonly from: number;
      readonly to: number;
    }
  /** `change HT to 4800 W`, `change TM.heat rated 15 A 250 V`, `change supply 120/208 V`. */
  | {
      readonly edit: "change";
      readonly target?: PointNode;
      readonly items: readonly Item[];
      readonly supply?: SupplyStatement;
      readonly from: number;
      readonly to: number;
    }
  /** `rename TM to T1`: a mapping, so that equal circuits with other names compare as equal. */
  | {
      readonly edit: "rename";
      readonly part?: NameNode;
      readonly name?: NameNode;
      readonly from: number;
      readonly to: number;
    };

export interface FindingsStatement extends TextNode {
  readonly statement: "findings";
  readonly label?: LabelNode;
  readonly entries: readonly FindingsEntry[];
  readonly block?: TextNode;
}

export type FindingsEntry =
  | { readonly entry: "when"; readonly condition: ConditionNode; readonly from: number; readonly to: number }
  /** `heard DM hums`, `seen HT cold`. */
  | {
      readonly entry: "symptom";
      readonly word: string;
      readonly subject?: PointNode;
      readonly what?: NameNode;
      readonly from: number;
      readonly to: number;
    }
  /** `volts TM.7 to N 118 V`, `ohms DM.4 to DM.5 2.1 ohm unplugged`, `amps HT 22 A`. */
  | {
      readonly entry: "reading";
      readonly word: "volts" | "ohms" | "amps" | "watts";
      readonly a?: PointNode;
      readonly b?: PointNode;
      readonly value?: QuantityNode;
      /** `open` (no continuity) instead of a value. */
      readonly open?: boolean;
      readonly unplugged: boolean;
      /** `lifted HT.1`: lead taken off for the reading. */
      readonly lifted?: readonly PointNode[];
      readonly from: number;
      readonly to: number;
    };
