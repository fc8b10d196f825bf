/** The expectations of a text as things to be run: where each stands, and what became of it. */
import type { Place } from "../base/place.ts";
import { shown } from "../checks/ask.ts";
import { judgeExpectation } from "../checks/expectation/judge.ts";
import type { Expectation } from "../machine/machine.ts";
import type { Engine } from "../states/engine.ts";
import { type NamedState, namedState } from "./chosen-state.ts";
import { stateWords } from "./readout.ts";
import type { FileView } from "./view.ts";

/** `refuted`, `empty` (no state fits its condition) and `unclear` (cannot be judged) are for a person to mend. */
export type Proof = "holds" | "refuted" | "empty" | "not-covered" | "unclear";

export interface Judged {
  readonly proof: Proof;
  /** What happens instead, or why it says nothing; empty when it holds. */
  readonly words: string;
  /** A state that shows it, in the words of the language and by names, and single changes from rest that lead there. */
  readonly state?: string;
  readonly steps?: readonly string[];
  readonly names?: NamedState;
}

export interface ExpectationItem {
  readonly machine: number;
  /** Stays the same while other lines are edited: the words of the statement, and which of several alike. */
  readonly id: string;
  /** `HT off when DOOR open`. */
  readonly words: string;
  readonly place: Place;
  /** Left out while states are still worked out, or when not asked for. */
  readonly judged?: Judged;
}

/** In text order; those written in files that this one uses are left to those files. */
export function expectationsOf(view: FileView, judge: boolean): ExpectationItem[] {
  return view.machines.flatMap(({ machine, engine }, index) => {
    const seen = new Map<string, number>();
    return machine.expectations.flatMap((expectation): ExpectationItem[] => {
      const { place } = expectation;
      if (place.file !== view.file) return [];
      const words = view.text.slice(place.from, place.to).replace(/\s+/g, " ").trim();
      const bare = words.replace(/^expect /, "");
      const before = seen.get(bare) ?? 0;
      seen.set(bare, before + 1);
      return [
        {
          machine: index,
          id: before === 0 ? bare : `${bare} (${before + 1})`,
          words: bare,
          place,
          ...(judge && engine ? { judged: judged(engine, expectation) } : {}),
        },
      ];
    });
  });
}

function judged(engine: Engine, expectation: Expectation): Judged {
  const result = judgeExpectation(engine, expectation);
  switch (result.outcome) {
    case "holds":
      return { proof: "holds", words: "" };
    case "refuted": {
      const steps = result.told?.steps ?? shown(engine, result.state).steps;
      return {
        proof: "refuted",
        words: `This does not hold: in a state that fits, ${result.instead}.`,
        state: stateWords(engine, result.state),
        ...(steps ? { steps } : {}),
        names: namedState(engine.circuit.machine, result.state),
      };
    }
    case "never-happens":
      return {
        proof: "empty",
        words: "The machine is never in a state that fits this condition, so it proves nothing.",
      };
    case "not-covered":
      return {
        proof: "not-covered",
        words: "This held in the states that were looked at, but not all were: it is not proved.",
      };
    case "cut-short":
      return {
        proof: "not-covered",
        words: "This held as far as was looked, but the search for more was cut short: it is not proved.",
      };
    case "not-judged":
      return { proof: "unclear", words: `This was not judged: ${result.why}.` };
  }
}
