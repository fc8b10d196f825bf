import type { Item, PropertyItem } from "./tree-items.ts";

export type * from "./tree-items.ts";

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
