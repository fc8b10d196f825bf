/** Long questions asked in short jobs. */
import type { Engine, Extremes, Quantity, Region } from "./engine.ts";

/** The answer of `engine.extreme`, with yields in between where the engine can stop. */
export function* inPieces(engine: Engine, quantity: Quantity, care: Region): Generator<void, Extremes> {
  return engine.extremeInPieces ? yield* engine.extremeInPieces(quantity, care) : engine.extreme(quantity, care);
}
