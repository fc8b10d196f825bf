/** One step of a timer program: what is closed in it and what can then run. */
import { doing } from "../checks/words.ts";
import { literalCondition } from "../machine/index.ts";
import type { ControlId } from "../machine/machine.ts";
import { conditionWords } from "./condition-words.ts";
import { type Fact, type Readout, stillWorking } from "./readout.ts";
import type { MachineView } from "./view.ts";

export function stepReadout({ machine, engine }: MachineView, id: ControlId, step: number): Readout {
  const control = machine.controls[id]!;
  const position = control.positions[step]!;
  const program = machine.programs.find((candidate) => candidate.control === id);
  const facts: Fact[] = [];
  const seconds = program?.seconds[step];
  if (seconds !== undefined && seconds > 0) facts.push({ name: "lasts", text: duration(seconds) });
  const closed = machine.contacts.filter(
    (contact) =>
      contact.part === control.part &&
      contact.closed.some((clause) => clause.every((l) => l.control !== id || l.positions[step] === 1)),
  );
  facts.push({
    name: "closed",
    text: closed.length > 0 ? closed.map(({ name }) => name).join(", ") : "none of its contacts",
  });
  if (!engine) facts.push(stillWorking);
  else {
    const here = engine.where(
      literalCondition(
        id,
        Uint8Array.from(control.positions, (_, i) => (i === step ? 1 : 0)),
      ),
    );
    for (const load of machine.loads) {
      const on = engine.and(here, engine.when(load.id, ["works", "over"]));
      if (engine.isEmpty(on)) {
        if (load.id === program?.drive)
          facts.push({
            name: "advances",
            text: "never by itself: its motor gets too little in this step; turn it by hand",
          });
        continue;
      }
      const always = engine.isEmpty(engine.and(here, engine.not(on)));
      facts.push({
        name: load.id === program?.drive ? "advances" : `${load.name} ${doing(load)}`,
        text: always ? "in every state of this step" : `when ${withoutStep(conditionWords(engine, on), control.name)}`,
      });
    }
  }
  const what = program ? `step ${step + 1} of ${control.positions.length}` : "position";
  return { name: `${control.name} ${position.name}`, what, facts };
}

/** The step itself is the heading; saying it again in each line would hide the rest. */
function withoutStep(words: string, control: string): string {
  return words
    .split(" or when ")
    .map((clause) =>
      clause
        .split(", ")
        .filter((term) => !term.startsWith(`${control} in `))
        .join(", "),
    )
    .map((clause) => (clause === "" ? "nothing else asked" : clause))
    .join(" or when ");
}

function duration(seconds: number): string {
  return seconds % 60 === 0 ? `${seconds / 60} min` : `${seconds} s`;
}
