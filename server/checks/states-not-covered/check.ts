/** What the analysis did not reach, said aloud: silence would read as an all clear. */
import { shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { unsolved } from "../not-solved.ts";
import { contactName, list, loadName, related, relatedOnce, verb } from "../words.ts";

export const statesNotCovered: Check = {
  id: "states-not-covered",
  gravity: "warning",
  title: "States that the analysis did not reach",
  hangsOn: "structure",
  *run({ engine, machine, report, amountsDecide }) {
    if (machine.loads.some(({ kind }) => kind === "diode")) amountsDecide();
    yield* notSolved();
    const { complete, missing } = engine.covered();
    if (complete) return;
    for (const sentence of missing.length > 0 ? missing : ["The analysis ended before every state was looked at."])
      report({
        place: machine.supply.place,
        what: sentence,
        why: "What is found below holds; what is not found may still be there.",
        advice:
          "Split the machine into circuits that do not share a control, or leave out controls that do not matter here.",
        related: [],
      });
    yield;

    function* notSolved(): Generator<void, void> {
      const all = unsolved(engine);
      for (const diode of new Set(all.map((each) => each.diode))) {
        yield;
        const own = all.filter((each) => each.diode === diode);
        const loads = [...new Set(own.flatMap((each) => each.loads))].filter((id) => id !== diode);
        const contacts = [...new Set(own.flatMap((each) => each.contacts))];
        const { namePlace } = machine.loads[diode]!;
        report({
          gravity: "information",
          place: namePlace,
          what: `The amounts of ${list(loads.map((id) => loadName(machine, id)))} behind ${loadName(machine, diode)} are not worked out in every state.`,
          why: `Behind a diode only plain resistance is.${contacts.length > 0 ? ` What ${list(contacts.map((id) => contactName(machine, id)))} ${verb(contacts.length, "carries", "carry")} there is not judged, nor are the wires.` : ""}`,
          advice:
            "Compare the ratings by hand, or measure with a true-rms meter: a plain resistance takes 71 % of its amps behind a diode.",
          state: shown(engine, own[0]!.state),
          related: relatedOnce(namePlace, [
            ...loads.map((id) => related(machine.loads[id]!.namePlace, `${loadName(machine, id)} is behind it`)),
            ...contacts.map((id) =>
              related(machine.contacts[id]!.namePlace, `${contactName(machine, id)} is not judged there`),
            ),
          ]),
        });
      }
    }
  },
};
