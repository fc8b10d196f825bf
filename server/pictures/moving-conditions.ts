/** When a timer moves on in each of its steps, in words, with as few different answers as are true. */
import { less, readableCondition } from "../checks/ask.ts";
import { describeCondition } from "../machine/index.ts";
import type { Condition, ControlId } from "../machine/machine.ts";
import type { Engine, Region } from "../states/engine.ts";

/**
 * @param steps the states of each step that count
 * @param moves those of all in which the timer's motor is fed
 * @returns for each step what is asked besides standing in it; empty where the timer moves in none or all of its states
 */
export function movingConditions(engine: Engine, timer: ControlId, steps: readonly Region[], moves: Region): string[] {
  const { machine } = engine.circuit;
  const told: Condition[] = [];
  const isSame = (a: Region, b: Region) => engine.isEmpty(less(engine, a, b)) && engine.isEmpty(less(engine, b, a));
  return steps.map((step) => {
    const moving = engine.and(step, moves);
    if (engine.isEmpty(moving) || isSame(moving, step)) return "";
    // What was told of another step and is just as true here is told again: alike steps read alike.
    let condition = told.find((one) => isSame(engine.and(step, engine.where(one)), moving));
    if (!condition) {
      const said = readableCondition(engine, moving);
      if (!said) return "in more ways than can be told";
      condition = said.map((clause) =>
        clause.filter(({ control }) => control !== timer && control !== machine.supply.control),
      );
      told.push(condition);
    }
    return describeCondition(machine, condition);
  });
}
