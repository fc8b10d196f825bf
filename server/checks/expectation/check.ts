/** `expect` statements that some reachable state refutes, or that say nothing. */
import { shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { cutShortWords } from "../unproved.ts";
import { related } from "../words.ts";
import { judgeExpectation } from "./judge.ts";

export const expectation: Check = {
  id: "expectation",
  gravity: "error",
  title: "An expectation that the circuit does not keep",
  *run({ engine, machine, report }) {
    for (const one of machine.expectations) {
      yield;
      const said =
        machine.file === one.place.file
          ? machine.tree.text.slice(one.place.from, one.place.to).replace(/\s+/g, " ")
          : "this expectation";
      const result = judgeExpectation(engine, one);
      const subject =
        one.subject?.type === "part"
          ? machine.parts[one.subject.part]
          : one.subject?.type === "load"
            ? machine.loads[one.subject.load]
            : undefined;
      const places = subject ? [related(subject.namePlace, subject.name)] : [];
      switch (result.outcome) {
        case "holds":
          break;
        case "refuted":
          report({
            place: one.place,
            what: `This does not hold (${said}): in a state that fits, ${result.instead}.`,
            why: "Either the wiring in the text differs from the machine, or the machine does not do what is expected of it.",
            advice:
              "Go through the state below contact by contact; then mend the wiring, or say in the condition what else it takes.",
            state: result.told ?? shown(engine, result.state),
            related: places,
          });
          break;
        case "never-happens":
          report({
            gravity: "warning",
            place: one.place,
            what: `The machine is never in a state that fits this condition (${said}).`,
            why: "An expectation about nothing proves nothing.",
            advice: "Check the positions named in the condition.",
            related: places,
          });
          break;
        case "not-covered":
          report({
            gravity: "information",
            place: one.place,
            what: `This held in the states that were looked at (${said}), but not all were.`,
            why: "It is not proved.",
            advice: "See what was not covered, at the supply.",
            related: places,
          });
          break;
        case "cut-short":
          report({
            ...cutShortWords(`This could not be judged to the end (${said}): it held as far as was looked.`),
            place: one.place,
            related: places,
          });
          break;
        case "not-judged":
          report({
            gravity: "information",
            place: one.place,
            what: `This was not judged (${said}): ${result.why}.`,
            why: "Nothing says whether it holds.",
            advice: "Write it with works, runs, heats, off, waits, advances, closed, open or gets.",
            related: places,
          });
          break;
      }
    }
  },
};
