/** A set of states of one machine as a set of states of another, control by control: for comparing two machines exactly. */
import type { ControlId } from "../../machine/machine.ts";
import type { ControlMatch } from "../engine.ts";
import { EMPTY, FULL, STEPS, type StateSet } from "./diagram.ts";
import type { Space } from "./space.ts";

/**
 * States of `into` that agree, in every matched control, with some state of the set. Controls that only one of the two has are
 * set free; a position that `into` does not have makes its states fall away.
 */
export function translate(
  from: Space,
  set: StateSet,
  into: Space,
  matches: ReadonlyMap<ControlId, ControlMatch>,
): StateSet {
  const { diagrams } = into;
  const done = new Map<StateSet, StateSet>([[EMPTY, EMPTY]]);
  const at = (control: ControlId, position: number): StateSet => {
    const match = matches.get(control);
    if (!match) return FULL;
    const there = match.positions[position];
    return there === undefined ? EMPTY : into.at(match.control, there);
  };
  const visit = (node: StateSet): StateSet => {
    const known = done.get(node);
    if (known !== undefined) return known;
    const level = from.diagrams.levelOf(node);
    const control = level === STEPS ? from.stepControl : from.controlAt[level]!;
    const count = control < 0 ? 1 : from.positionsOf(control);
    let result: StateSet = EMPTY;
    for (let position = 0; position < count; position++) {
      const below =
        level === STEPS
          ? from.diagrams.hasStep(node, position)
            ? FULL
            : EMPTY
          : visit(from.diagrams.branch(node, position));
      if (below === EMPTY) continue;
      result = diagrams.or(result, control < 0 ? below : diagrams.and(at(control, position), below));
    }
    done.set(node, result);
    return result;
  };
  return visit(set);
}
