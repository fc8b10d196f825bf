/** Steps, loose ends and what the text expects. */
import { conditionHolds } from "../../../../server/circuit/condition.ts";
import type { Expectation, Machine, TerminalId } from "../../../../server/machine/machine.ts";
import { impedanceOf } from "../../../oracle/load-class.ts";
import type { Facts, Plain, Rest } from "./plain.ts";

export function program(plain: Plain, facts: Facts): void {
  const { machine, rests } = plain;
  if (plain.chatters()) facts.add("chatter");
  for (const { id, settled, role, positions, part } of machine.controls)
    if (!settled && role !== "supply" && positions.some((_, at) => !rests.some(({ state }) => state[id] === at)))
      facts.add("step-unreachable", machine.parts[part]!.name);
  for (const { drive, control, rows, part } of machine.programs) {
    if (drive === undefined) continue;
    const stuck = machine.controls[control]!.positions.some((_, step) => {
      const here = rests.filter(({ state }) => state[control] === step);
      // A step with every contact open is an end, one in which nothing works a rest.
      const open = rows.every(({ cells }) => cells[step] === "-" || cells[step] === undefined);
      const works = machine.loads.some(
        ({ id, kind }) => kind !== "resistor" && here.some((rest) => plain.on(rest, id)),
      );
      return here.length > 0 && !open && works && !here.some((rest) => plain.full(rest, drive));
    });
    if (stuck) facts.add("timer-stuck", machine.parts[part]!.name);
  }
  if (looseEnds(plain)) facts.add("loose-end");
  machine.expectations.forEach((one, index) => {
    const open = one.statement.verb?.text === "gets" && rests.some(({ look }) => look.shorted);
    // What follows changes made one after the other is worked by hand in after.test.ts; in a shorted state no volts are told.
    if (open || (one.after !== undefined && one.after.length > 0)) facts.allow("expectation", `${index}`);
    else if (!holds(plain, one)) facts.add("expectation", `${index}`);
  });
}

/** A connection with fewer than two things on it through which current could flow, and a wire on it or on the one thing's other end. */
function looseEnds({ machine, circuit }: Plain): boolean {
  const legs = machine.supply.legs.map(({ terminal }) => circuit.jointOf[terminal]!);
  const frames = machine.parts.flatMap(({ frame }) => (frame === undefined ? [] : [circuit.jointOf[frame]!]));
  const wired = (t: TerminalId): boolean => machine.wires.some(({ a, b }) => a === t || b === t);
  const byWire = (t: TerminalId): boolean =>
    machine.wires.some(({ a, b, kind }) => kind !== "internal" && (a === t || b === t));
  return circuit.terminalsOf.some((terminals, joint) => {
    if (legs.includes(joint) || frames.includes(joint)) return false;
    const at = (t: TerminalId): boolean => terminals.includes(t);
    const loads = machine.loads.filter(({ a, b }) => at(a) || at(b));
    const contacts = machine.contacts.filter(({ a, b }) => at(a) || at(b));
    const windings = machine.transformers.flatMap(({ primary, secondary }) => [...primary, ...secondary]).filter(at);
    const ends = (all: readonly { a: number; b: number }[]): number =>
      all.reduce((sum, { a, b }) => sum + +at(a) + +at(b), 0);
    if (ends(loads) + ends(contacts) + windings.length > 1) return false;
    if (terminals.some(byWire)) return true;
    const [load] = loads;
    if (load) {
      const other = at(load.a) ? load.b : load.a;
      const part = machine.parts[load.part]!;
      return wired(other) || (at(load.a) && part.terminals.some((t) => t !== part.frame && wired(t)));
    }
    const [contact] = contacts;
    if (!contact) return false;
    const other = at(contact.a) ? contact.b : contact.a;
    // The spare throw of a changeover is none.
    const spare = machine.contacts.some(
      (c) => c.id !== contact.id && c.part === contact.part && (c.a === other || c.b === other),
    );
    return !spare && wired(other);
  });
}

const OFF = ["off", "waits"];
const WHOLE = ["limit", "link", "overload", "built-in-protector", "fuse", "breaker"];

/** True when every state that fits does what is expected, and at least one fits: `expect` on the language's page. */
function holds(plain: Plain, { statement, subject, when }: Expectation): boolean {
  const { machine, rests } = plain;
  const verb = statement.verb!.text;
  const fits = when ? rests.filter(({ state }) => conditionHolds(when, state)) : rests;
  const named = (when ?? []).flatMap((clause) => clause.map(({ control }) => control));
  // What should work is expected to with its cut-outs, links and fuses whole and the supply on; "off" assumes nothing.
  const whole = fits.filter(
    (rest) =>
      rest.fed &&
      machine.contacts.every(
        ({ id, role, closed }) =>
          !WHOLE.includes(role) ||
          rest.look.closed[id] === 1 ||
          closed.some((clause) => clause.some(({ control }) => named.includes(control))),
      ),
  );
  const scope = OFF.includes(verb) ? fits : whole;
  if (scope.length === 0) return false;
  const loads =
    subject!.type === "load" ? [subject!.load] : ofPart(machine, subject!.type === "part" ? subject!.part : -1, verb);
  if (verb === "gets") {
    const { value, upper, tolerance } = statement.quantity!;
    const spread = upper === undefined ? value * (tolerance ?? 0.02) : 0;
    const inside = (volts: number): boolean =>
      volts >= value - spread - 1e-6 && volts <= (upper ?? value) + spread + 1e-6;
    // Of an open load no volts are told: it gets none.
    const gets = (rest: Rest): number =>
      impedanceOf(machine.loads[loads[0]!]!, rest.state) ? plain.volts(rest, loads[0]!) : 0;
    return scope.every((rest) => inside(gets(rest)));
  }
  const controls =
    subject!.type === "part" ? machine.parts[subject!.part]!.controls.map((id) => machine.controls[id]!) : [];
  const seats = controls.filter(({ role }) => role === "valve");
  const motor = controls.find(({ role }) => role === "motor");
  const does = (rest: Rest): boolean => {
    if (seats.length > 0) return seats.every(({ id }) => rest.state[id] === 1);
    if (motor && !OFF.includes(verb)) return rest.state[motor.id]! >= 2;
    return loads.some((id) => (verb === "off" ? plain.on(rest, id) : plain.full(rest, id)));
  };
  return scope.every((rest) => does(rest) !== OFF.includes(verb));
}

function ofPart(machine: Machine, id: number, verb: string): readonly number[] {
  const part = machine.parts[id];
  if (!part) return [];
  const drive = machine.programs.find((one) => one.part === id)?.drive;
  if (drive !== undefined && (verb === "waits" || verb === "advances" || part.loads.length === 1)) return [drive];
  const main = part.loads.filter(
    (load) => !["start-winding", "bias-heater", "capacitor"].includes(machine.loads[load]!.kind),
  );
  return main.length > 0 ? main : part.loads;
}
