import type { Engine, Region } from "../../server/states/engine.ts";

/** A set of states at rest: one byte each, in the order of `Walk.atRest`. */
export class PlainRegion implements Region {
  readonly engine: Engine;
  readonly bits: Uint8Array;

  constructor(engine: Engine, bits: Uint8Array) {
    this.engine = engine;
    this.bits = bits;
  }
}
