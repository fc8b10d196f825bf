import type { Condition } from "../machine/machine.ts";
import type { Engine } from "./engine.ts";

/**
 * The condition without positions that no reachable state of their clause stands in (`DM in hums or running` where a hum never
 * occurs): it holds in the same reachable states and reads shorter. Clauses that never hold are left out.
 */
export function onlyPossible(engine: Engine, condition: Condition): Condition {
  return condition.flatMap((clause) => {
    const there = engine.where([clause]);
    if (engine.isEmpty(there)) return [];
    const kept = clause.map(({ control, positions }) => ({
      control,
      positions: positions.map((holds, at) => {
        if (holds !== 1) return 0;
        const position = new Uint8Array(positions.length);
        position[at] = 1;
        return engine.isEmpty(engine.and(there, engine.where([[{ control, positions: position }]]))) ? 0 : 1;
      }),
    }));
    return [kept];
  });
}
