/** What the current that a contact makes hangs on by sets alone, step by step: worked out once, and asked again when loads have other volts or ohms. */
import type { StateSet } from "./diagram.ts";
import type { Asked } from "./search.ts";
import type { Step } from "./steps.ts";

/** A step of a control that moves the contact. */
export interface MadeStep {
  readonly step: Step;
  /** States before it, with the contact open. */
  readonly before: StateSet;
  /** States after it, with the contact closed: without volts anywhere. */
  readonly dead: StateSet;
  /** Those in which a side of the contact's flow tells the sum of steady and starting currents, by the place of the side. */
  readonly sides: readonly { readonly side: number; readonly set: StateSet; readonly asked: Asked }[];
  /** Those in which loads upset each other as they start, so that no such sum holds, though one of currents does. */
  readonly upset: StateSet;
  /** Those in which no sum tells the current. */
  readonly untold: StateSet;
}

/** All steps with which a contact makes. */
export interface Making {
  /** All that decided them, besides the frame. */
  readonly key: readonly number[];
  readonly steps: readonly MadeStep[];
}
