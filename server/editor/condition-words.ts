/**
 * When something is so, in the language's own words. `DM running` alone tells a person little: what to set for it is said besides, where relays,
 * motors or valves stand in the condition.
 */
import { shownStateText } from "../base/finding.ts";
import { readableCondition, shownPlain } from "../checks/ask.ts";
import { describeCondition } from "../machine/index.ts";
import type { Condition, Literal, Machine } from "../machine/machine.ts";
import type { Engine, Region } from "../states/engine.ts";

/** So many ways are told of what to set; more would not be read. */
const MOST_WAYS = 4;

/** The condition of a region; `always` where it holds in every state the machine can be in. */
export function conditionWords(engine: Engine, region: Region): string {
  const condition = readableCondition(engine, region);
  if (condition) return describeCondition(engine.circuit.machine, condition);
  const state = engine.witness(region);
  return state
    ? `in more ways than can be told, one of them: ${shownStateText(shownPlain(engine.circuit.machine, state))}`
    : "never";
}

/** The same without what goes without saying: that the supply is on, where something else is asked besides. */
export function plainWords(engine: Engine, region: Region): string {
  const condition = readableCondition(engine, region);
  if (!condition) return conditionWords(engine, region);
  const { machine } = engine.circuit;
  const told = condition.map((way) => withoutSupply(machine, way));
  return describeCondition(machine, told.some((way) => way.length === 0) ? condition : told);
}

export function withoutSupply({ supply }: Machine, way: readonly Literal[]): Literal[] {
  return way.filter(({ control, positions }) => control !== supply.control || positions[0] !== 1);
}

/** What a person sets and what has to happen for it. */
export interface ByInputs {
  readonly condition: Condition;
  /** That alone decides. False: it is needed, and what was before decides too (a motor that holds itself in). */
  readonly decides: boolean;
}

/** Undefined where the condition itself says it all, where nothing has to be set, and where it would take too many words. */
export function byInputs(
  engine: Engine,
  region: Region,
  condition = readableCondition(engine, region),
): ByInputs | undefined {
  const { machine } = engine.circuit;
  const { controls } = machine;
  if (condition && !condition.some((way) => way.some(({ control }) => controls[control]!.settled))) return undefined;
  const told = engine.statementByInputs?.(region, MOST_WAYS);
  if (told === undefined || told.condition.length === 0) return undefined;
  // That the supply is on goes without saying.
  const set = told.condition.map((way) => withoutSupply(machine, way));
  return set.some((way) => way.length === 0) ? undefined : { condition: set, decides: told.decides };
}

/** That, as a fact of a readout: `that is` when it decides, else `needs`. */
export function inputFacts(engine: Engine, region: Region, prefix = ""): { name: string; text: string }[] {
  const told = byInputs(engine, region);
  if (told === undefined) return [];
  const text = describeCondition(engine.circuit.machine, told.condition);
  return [{ name: `${prefix}${told.decides ? "that is" : "needs"}`, text }];
}
