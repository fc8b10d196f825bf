/** What engines keep from one analysis to the next, found again by content. */
import type { Circuit } from "../../circuit/circuit.ts";
import { AnswerStore } from "./answers.ts";
import { ElementStore } from "./elements.ts";
import type { FrameStore } from "./frames.ts";
import { IntTable } from "./int-table.ts";
import { Kept } from "./kept.ts";
import { type LoadWork, ZoneStore } from "./load-sets.ts";
import { OtherVoltsStore } from "./other-volts.ts";
import { OutcomeStore } from "./outcomes.ts";
import { PieceStore } from "./pieces.ts";
import type { Reached } from "./reach.ts";
import { SearchStore } from "./search.ts";
import { type Slots, Space } from "./space.ts";
import { LoadTypes, Values } from "./values.ts";
import type { Connections } from "./work.ts";

/** A memory with more nodes than this is given up and begun afresh. */
const MOST_NODES = 1_500_000;
/** The same of pieces of circuits, and of contents of places that questions were asked about. */
const MOST_PIECES = 200_000;
const MOST_CONTENTS = 100_000;
/** Kept circuits, those with a conductor parted for its current among them. */
const FRAMES = 64;

/** What stays good from one analysis to the next. Hand the same one in and an edit costs little. */
export class EngineMemory {
  slots: Slots | undefined;
  elements = new ElementStore();
  store = new PieceStore();
  outcomes = new OutcomeStore();
  zones = new ZoneStore();
  answers = new AnswerStore();
  frames: FrameStore = new Kept(FRAMES);
  reached: Kept<Reached> = new Kept(FRAMES);
  connections: Kept<Connections> = new Kept(FRAMES);
  searches = new SearchStore();
  values = new Values();
  types = new LoadTypes();
  otherVolts = new OtherVoltsStore();

  private legSets = new IntTable();

  /** Phasors of the legs, and a number for them. */
  legs({ legRe, legIm }: Pick<Circuit, "legRe" | "legIm">): LoadWork["legs"] {
    const re = [...legRe];
    const im = [...legIm];
    const phasors = new Int32Array(Float64Array.from([...re, ...im]).buffer);
    const known = this.legSets.intern(phasors, 0, phasors.length);
    return { re, im, key: known >= 0 ? known : -1 - known };
  }

  /** Makes the memory fit a machine. */
  fit(circuit: Circuit): Slots {
    const { slots } = this;
    if (
      slots !== undefined &&
      slots.stepKey === Space.stepKey(circuit.machine) &&
      slots.diagrams.nodeCount < MOST_NODES &&
      this.store.table.size < MOST_PIECES &&
      this.answers.contents.size < MOST_CONTENTS &&
      slots.levels.size < 4 * circuit.machine.controls.length + 64
    )
      return slots;
    this.elements = new ElementStore();
    this.store = new PieceStore();
    this.outcomes = new OutcomeStore();
    this.zones = new ZoneStore();
    this.answers = new AnswerStore();
    this.frames = new Kept(FRAMES);
    this.reached = new Kept(FRAMES);
    this.connections = new Kept(FRAMES);
    this.searches = new SearchStore();
    this.values = new Values();
    this.types = new LoadTypes();
    this.otherVolts = new OtherVoltsStore();
    return (this.slots = Space.slots(circuit.machine));
  }
}
