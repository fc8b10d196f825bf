/** One position of a control, or all steps of a group of a timer program: what is closed there and what can then run. */
import { formatQuantity } from "../../grammar/quantity.ts";
import { readableCondition } from "../checks/ask.ts";
import { doing } from "../checks/words.ts";
import { describeCondition, describePositions } from "../machine/index.ts";
import type { Contact, Control, ControlId, Literal } from "../machine/machine.ts";
import type { Engine, Region } from "../states/engine.ts";
import { plainWords, withoutSupply } from "./condition-words.ts";
import { type Fact, type Readout, stillWorking } from "./readout.ts";
import type { MachineView } from "./view.ts";

export function stepReadout(view: MachineView, id: ControlId, step: number): Readout {
  const control = view.machine.controls[id]!;
  return positionsReadout(view, control, (at) => at === step, control.positions[step]!.name);
}

/** `timed` of a program: all of its steps. */
export function groupReadout(view: MachineView, id: ControlId, group: string): Readout {
  const control = view.machine.controls[id]!;
  return positionsReadout(view, control, (at) => control.positions[at]!.group === group, group);
}

function positionsReadout(
  { machine, engine }: MachineView,
  control: Control,
  isMeant: (position: number) => boolean,
  name: string,
): Readout {
  const { id, positions } = control;
  const mask = Uint8Array.from(positions, (_, at) => (isMeant(at) ? 1 : 0));
  const meant = positions.flatMap((_, at) => (isMeant(at) ? [at] : []));
  const program = machine.programs.find((candidate) => candidate.control === id);
  const facts: Fact[] = [];
  const seconds = meant.reduce((sum, at) => sum + (program?.seconds[at] ?? 0), 0);
  if (seconds > 0) facts.push({ name: "lasts", text: formatQuantity(seconds, "time") });
  facts.push(...closedFacts(machine.contacts, control, mask));
  if (!engine) facts.push(stillWorking);
  else {
    const here: Literal = { control: id, positions: mask };
    const states = engine.and(engine.all(), engine.where([[here]]));
    const always = program ? (meant.length > 1 ? "in all of these steps" : "in every state of this step") : "always";
    for (const load of machine.loads) {
      const on = engine.and(states, engine.when(load.id, ["works", "over"]));
      const drives = load.id === program?.drive;
      if (!engine.isEmpty(on))
        facts.push({
          name: drives ? "advances" : `${load.name} ${doing(load)}`,
          text: engine.isEmpty(engine.and(states, engine.not(on))) ? always : whenHere(engine, on, here, always),
        });
      else if (drives)
        facts.push({
          name: "advances",
          text: "never by itself: its motor gets too little there; turn it by hand",
        });
    }
  }
  return { name: `${control.name} ${name}`, what: program ? stepsWords(meant, positions.length) : "position", facts };
}

function stepsWords(meant: readonly number[], count: number): string {
  const [first, last] = [meant[0]! + 1, meant.at(-1)! + 1];
  return first === last ? `step ${first} of ${count}` : `steps ${first} to ${last} of ${count}`;
}

/** Contacts of the control that are closed there, whatever else they ask; nothing where it moves none. */
function closedFacts(contacts: readonly Contact[], control: Control, mask: Uint8Array): Fact[] {
  const own = contacts.filter((contact) => contact.closed.some((way) => way.some((one) => one.control === control.id)));
  if (own.length === 0) return [];
  const whole: string[] = [];
  const partly: string[] = [];
  for (const contact of own) {
    const at = mask.map((meant, position) => (meant === 1 && closedAt(contact, control.id, position) ? 1 : 0));
    if (!at.includes(1)) continue;
    if (at.every((closed, position) => closed === mask[position])) whole.push(contact.name);
    else partly.push(`${contact.name} in ${describePositions(control, at)}`);
  }
  const none = whole.length + partly.length === 0;
  return [{ name: "closed", text: none ? "none of its contacts" : [...whole, ...partly].join(", ") }];
}

function closedAt({ closed }: Contact, control: ControlId, position: number): boolean {
  return closed.some((way) => way.every((one) => one.control !== control || one.positions[position] === 1));
}

/** The position itself is the heading, and that the supply is on goes without saying: in each line they would hide the rest. */
function whenHere(engine: Engine, on: Region, here: Literal, always: string): string {
  const condition = readableCondition(engine, on);
  if (!condition) return `when ${plainWords(engine, on)}`;
  const { machine } = engine.circuit;
  const told = condition.map((way) =>
    withoutSupply(machine, way).filter((one) => one.control !== here.control || !covers(one, here)),
  );
  return told.some((way) => way.length === 0) ? always : `when ${describeCondition(machine, told)}`;
}

function covers(one: Literal, other: Literal): boolean {
  return other.positions.every((meant, position) => meant !== 1 || one.positions[position] === 1);
}
