/** What a comparison keeps from one version of a proposal to the next, so that an edit costs little. */
import { EngineMemory } from "../states/exact/exact-engine.ts";

export class ComparisonMemory {
  /** Of the machine as proposed. */
  readonly whole = new EngineMemory();
  /** Of the machine with fewer edits. Apart: without one of them it may have other controls, and begin the memory afresh. */
  readonly fewer = new EngineMemory();
}
