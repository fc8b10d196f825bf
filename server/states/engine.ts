/**
 * The one interface through which checks, readouts, proposals and pictures ask about every state. Two engines answer it: the
 * plain walk (every state, one at a time: right, slow) and the exact engine (decision diagrams). They must agree.
 */
import type { Circuit, Solution } from "../circuit/circuit.ts";
import type { Complex, Condition, ContactId, ControlId, LoadId, MachineState, WireId } from "../machine/machine.ts";

export type LoadClass = "off" | "weak" | "works" | "over";

/** A set of settled states; only the engine that made it can read it. */
export interface Region {
  readonly engine: Engine;
}

/**
 * Of a contact's current only what flows for these loads: Kirchhoff's law on one side of the contact (the second terminal's,
 * else the first's, where no leg is on it), the other loads left out. Where
 * contacts share a current the share is superposed, or, where no sum tells it, taken as the most it can be.
 */
export type ShareOf = readonly LoadId[];

/** What can be asked the smallest and largest of. Magnitudes: V, A, W. */
export type Quantity =
  | { readonly of: "load-volts" | "load-amps" | "load-watts"; readonly load: LoadId }
  /** Steady current through the contact while closed. */
  | { readonly of: "carries"; readonly contact: ContactId; readonly loads?: ShareOf }
  /** Current in the first moment after the contact closes, over single changes between reachable states. */
  | { readonly of: "makes"; readonly contact: ContactId; readonly loads?: ShareOf }
  /** Current just before the contact opens. */
  | { readonly of: "breaks"; readonly contact: ContactId; readonly loads?: ShareOf }
  /** Volts across the contact just after it opened. */
  | { readonly of: "breaks-volts"; readonly contact: ContactId }
  /** Steady current out of a supply leg, by its index in `Supply.legs`. */
  | { readonly of: "leg-amps"; readonly leg: number }
  /**
   * Steady current through one written wire. Where wires form a ring or each side of it has a supply leg, no current of one wire
   * is told: the answer has neither end nor bound and is not exact.
   */
  | { readonly of: "wire-amps"; readonly wire: WireId };

export interface Extreme {
  readonly value: number;
  /** The state that shows it; for makes and breaks the state after the change. */
  readonly state: MachineState;
  /** For makes and breaks: the state before. */
  readonly before?: MachineState;
}

export interface Extremes {
  /** Undefined when no state of the region has the quantity (contact never closed). */
  readonly smallest?: Extreme;
  readonly largest?: Extreme;
  /** False when a budget ended the search: `largest` is then found so far and `bound` is not exceeded by any state. */
  readonly exact: boolean;
  readonly bound?: number;
}

/** One single change of an input, in words a person can follow. */
export interface Change {
  readonly control: ControlId;
  readonly position: number;
  readonly words: string;
}

export interface Coverage {
  readonly complete: boolean;
  /** Plain sentences on what was not covered, empty when complete. */
  readonly missing: readonly string[];
  /** Number of nominal states (product of positions), as a number (may be Infinity). */
  readonly nominal: number;
  /** Reachable settled states, when counted. */
  readonly reachable?: number;
  /** Of what was asked so far, that whose largest is not proved: the search was cut short, and only a bound is known. */
  readonly bounds?: readonly Quantity[];
}

/** States in which the machine never comes to rest after an input change. */
export interface Chatter {
  /** Inputs as they stand; the settled controls that keep changing. */
  readonly state: MachineState;
  readonly controls: readonly ControlId[];
}

/** When something can be, told by what a person sets and what happens to the machine: no relay or motor in it. */
export interface InputStatement {
  /** True in every reachable state whose inputs stand as in some state of the region, false in every other; irredundant. */
  readonly condition: Condition;
  /** The inputs alone decide. False: what was before does too (a motor that holds itself in), and the condition is only needed. */
  readonly decides: boolean;
}

/** The same control in another machine: its id there, and for each position the one of the same name (undefined: none). */
export interface ControlMatch {
  readonly control: ControlId;
  readonly positions: readonly (number | undefined)[];
}

/** Something worked out before, or nothing yet. */
export interface Note {
  read(): unknown;
  write(value: unknown): void;
}

export interface Engine {
  readonly circuit: Circuit;
  /**
   * A place to note what was worked out over every state from what happens near a load in the circuit, or from the contacts alone,
   * whatever the loads are. An engine made from the same memory after an edit elsewhere reads it again: nothing there, no id and no control
   * has changed then. `what` names the question and says all that the answer depends on besides. Left out by engines without a memory.
   */
  noteAbout?(about: LoadId | "contacts", what: string): Note;
  /**
   * Numbers that decide, for machines of one structure (`server/machine/structure.ts`), every answer that is a set of states, a state of one, a way to
   * a state or a statement, whatever loads draw; nothing that is in series, and no amount. They mean the same as long as `of` is the same object.
   * Undefined where not everything was covered. Left out by engines that cannot tell.
   */
  setNumbers?(): { readonly of: object; readonly numbers: readonly number[] } | undefined;
  /** Every settled state reachable from rest by single changes of inputs. */
  all(): Region;
  none(): Region;
  /** States in which the load is in one of the classes. */
  when(load: LoadId, classes: readonly LoadClass[]): Region;
  /**
   * States in which the load is in one of the classes with the legs, in their order, at these volts, relays and motors having settled at
   * them. Undefined where that takes an engine for those volts. Left out by engines that cannot tell.
   */
  whenAt?(load: LoadId, classes: readonly LoadClass[], legs: readonly Complex[]): Region | undefined;
  closed(contact: ContactId): Region;
  /** States that satisfy a condition on controls. */
  where(condition: Condition): Region;
  /** States in which legs are tied together. */
  shorted(): Region;
  /** Opening `contact` alone, before anything else settles, takes `load` below weak (it is in series with it). */
  inSeries(contact: ContactId, load: LoadId): Region;
  /** States in which current can reach the joint of a terminal from some leg: `leg` index of supply legs, through contacts only. */
  tied(terminal: number, leg: number): Region;
  and(a: Region, b: Region): Region;
  or(a: Region, b: Region): Region;
  /** Complement within `all()`. */
  not(a: Region): Region;
  /**
   * States at rest after `control` was moved to `position` by one change from states of `from`; those of `from` that stand there
   * already are among them. Left out by engines that cannot tell.
   */
  moved?(from: Region, control: ControlId, position: number): Region;
  /**
   * Reachable states here that agree in every matched control with some state of another engine's region. `matches`: by the other
   * machine's control ids. Controls without a match are free. Left out by engines that cannot tell.
   */
  translated?(other: Region, matches: ReadonlyMap<ControlId, ControlMatch>): Region;
  isEmpty(a: Region): boolean;
  /** For each position of a control 1 when it stands there in some state of the region. Left out by engines that cannot tell at once. */
  positionsIn?(a: Region, control: ControlId): Uint8Array;
  count(a: Region): number;
  has(a: Region, state: MachineState): boolean;
  /** A state of the region, as near to rest as the engine can cheaply say. */
  witness(a: Region): MachineState | undefined;
  extreme(quantity: Quantity, care: Region): Extremes;
  /**
   * The same answer in short jobs: the caller goes on with `next()` and may stop between two. What was searched is kept, and `extreme`
   * goes on from there. Left out by engines that answer at once; ask through `inPieces`.
   */
  extremeInPieces?(quantity: Quantity, care: Region): Generator<void, Extremes>;
  /**
   * What a current does not exceed in any state of `all()` or any step between them, A, found without a search: the largest may lie far below it. Infinite where nothing is known.
   * For what a contact makes it is not less than for what it carries or breaks. Left out by engines that answer at once.
   */
  atMost?(quantity: Quantity & { readonly of: "carries" | "makes" | "breaks" }): number;
  /** Shortest series of single changes from rest. Undefined when unreachable or past the budget. */
  pathTo(state: MachineState): readonly Change[] | undefined;
  /** Shortest plain statement of the region: exact, irredundant, unreachable states as don't-cares. */
  statement(a: Region): Condition;
  /**
   * The same for people: without controls that only follow (a valve's seat) where the others tell the region, without positions that never
   * occur with the rest of their AND (`onlyPossible`), and undefined when it is an OR of
   * more than so many ANDs, which is found out quickly. Left out by engines that cannot tell.
   */
  statementWithin?(a: Region, ways: number): Condition | undefined;
  /**
   * Within so many ways, by inputs alone, settled controls (relays, motors, valves) left out of it, and again without positions that never
   * occur. Left out by engines that cannot tell.
   */
  statementByInputs?(a: Region, ways: number): InputStatement | undefined;
  /** Volts of a load that conducts in the state, without solving it. Undefined where only the solution tells. Left out by engines that cannot tell. */
  voltsIn?(load: LoadId, state: MachineState): Complex | undefined;
  /**
   * Watts that all loads take in each of the states, without solving them; NaN where only the solution tells. What was looked for is kept
   * with the list, which must not be changed. Left out by engines that cannot tell.
   */
  wattsIn?(states: readonly MachineState[]): Float64Array;
  /** The state solved, for numbers. */
  solve(state: MachineState): Solution;
  chatters(): readonly Chatter[];
  covered(): Coverage;
}

export interface EngineOptions {
  /** Largest number of states (plain walk) or pieces (exact engine) before the engine says "not covered". */
  readonly budget?: number;
  /** Asked between jobs; true ends the analysis with what is covered so far. */
  readonly cancelled?: () => boolean;
}

/** Analysis as a series of short jobs: the caller runs `next()` until done and may stop between jobs. */
export type EngineRun = Generator<void, Engine>;
export type MakeEngine = (circuit: Circuit, options?: EngineOptions) => EngineRun;
