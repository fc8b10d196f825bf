/** Nodes of the tree: items, what a part is made of. */
import type {
  ConditionNode,
  LabelNode,
  NameNode,
  PositionNode,
  PropertyValue,
  QuantityNode,
  RatingNode,
  TextNode,
} from "./tree.ts";

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
