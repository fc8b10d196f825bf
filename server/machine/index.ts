/** The door of this room. */
export { type Attached, attachedBlocks } from "./attached.ts";
export {
  always,
  andConditions,
  literalCondition,
  maskAll,
  maskCount,
  maskHas,
  maskNot,
  maskOf,
  never,
  notCondition,
  orConditions,
} from "./condition-algebra.ts";
export { resolveCondition, resolveTerm } from "./conditions.ts";
export {
  describeCondition,
  describeLiteral,
  describePosition,
  describePositions,
  describeState,
  restState,
  stateFrom,
} from "./describe.ts";
export { woundKinds } from "./impedance.ts";
export { leansOnNothing, originOf, type ResolvedBefore } from "./kept-machines.ts";
export type * from "./machine.ts";
export { namesOf } from "./names-view.ts";
export { positionMask, positionWords } from "./positions.ts";
export { type ResolvedFile, resolveFile, resolveMachines } from "./resolve.ts";
export { type Structure, structureOf } from "./structure.ts";
export { type Locate, resolveUsePath, usedPaths } from "./types.ts";
