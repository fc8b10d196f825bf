/** People and heat: shorts, guards, protectors, bonds, returns, the neutral side. */
import { buildCircuit } from "../../../../server/circuit/build.ts";
import { conditionHolds } from "../../../../server/circuit/condition.ts";
import { solveState } from "../../../../server/circuit/solve.ts";
import { edit } from "../../../../server/machine/edit.ts";
import { ampsOf, type Facts, type Plain, type Rest } from "./plain.ts";

const DOORS = ["door", "doors", "lid", "lids", "hatch", "latch", "interlock"];
const PROTECTORS = ["limit", "link", "overload", "built-in-protector"];

export function protection(plain: Plain, facts: Facts): void {
  const { machine, rests } = plain;
  if (rests.some(({ look }) => look.shorted)) facts.add("legs-shorted");

  for (const load of machine.loads) {
    if (!load.needsProtector) continue;
    const feeling = feelersOf(plain, load.id);
    if (rests.some((rest) => plain.on(rest, load.id) && !feeling.some((id) => plain.inSeries(rest, id, load.id))))
      facts.add("load-without-protector", plain.partOf(load.id));
  }

  for (const guard of machine.guards)
    for (const rest of rests) {
      if (conditionHolds(guard.holds, rest.state) || (guard.only && !conditionHolds(guard.only, rest.state))) continue;
      if (guard.loads.some((id) => plain.on(rest, id))) facts.add("guard-defeated", machine.parts[guard.part]!.name);
    }

  for (const name of unlitValves(plain)) facts.add("gas-unlit", name);
  if (machine.wires.some(({ kind }) => kind === "jumper")) facts.add("jumper-left-in");
  // A door or lid by its name, spoken of by no guard, in series with a motor or a heater.
  for (const { id, name, label = "", kind, contacts } of machine.parts) {
    const words = `${name} ${label}`.toLowerCase().split(/[^a-z]+/);
    if (!["switch", "lock"].includes(kind) || !words.some((word) => DOORS.includes(word))) continue;
    const mine = machine.controls.filter(({ part }) => part === id).map((control) => control.id);
    const spoken = machine.guards.flatMap(({ holds, only }) => [...holds, ...(only ?? [])].flat());
    if (spoken.some(({ control }) => mine.includes(control))) continue;
    const held = machine.loads.filter(
      (load) =>
        load.kind === "heater" ||
        load.kind === "igniter" ||
        (load.kind === "valve" && machine.parts[load.part]!.marks.includes("gas")) ||
        (load.kind === "winding" && machine.parts[load.part]!.kind === "motor"),
    );
    if (held.some((load) => contacts.some((contact) => rests.some((rest) => plain.inSeries(rest, contact, load.id)))))
      facts.add("guard-not-written", name);
  }

  const frames = machine.parts.flatMap(({ frame }) => (frame === undefined ? [] : [plain.joint(frame)]));
  const [earth, neutral] = [plain.legs("protective"), plain.legs("neutral")];
  if (frames.some((joint) => !earth.includes(joint) && !neutral.includes(joint))) facts.add("unbonded-metal");
  if (frames.some((joint) => neutral.includes(joint))) facts.add("frame-on-neutral");
  groundReturns(plain, facts);
  for (const name of neutralSwitches(plain)) facts.add("neutral-side-switch", name);
}

/** Gas valves that are open in some state with every sensor cold; without a sensor, with every igniter off (where no board lights it). */
function unlitValves(plain: Plain): string[] {
  const { machine, rests } = plain;
  const igniters = machine.loads.filter(({ kind }) => kind === "igniter");
  const sensors = machine.controls.filter(
    ({ part, positions }) => machine.parts[part]!.kind === "sensor" && positions.some(({ name }) => name === "hot"),
  );
  if (igniters.length === 0 || (sensors.length === 0 && machine.parts.some(({ kind }) => kind === "board"))) return [];
  const lit = (rest: Rest) =>
    sensors.length > 0
      ? sensors.some(({ id, positions }) => positions[rest.state[id]!]!.name === "hot")
      : igniters.some(({ id }) => plain.on(rest, id));
  return machine.parts.flatMap(({ id, kind, name, marks, loads }) => {
    const seats = machine.controls.filter(({ part, rule }) => part === id && rule?.rule === "seat");
    if (kind !== "valve" || (seats.length === 0 && !marks.includes("gas"))) return [];
    const open = (rest: Rest) =>
      seats.length > 0
        ? seats.every((seat) => rest.state[seat.id] === 1)
        : loads.some((load) => plain.full(rest, load));
    return rests.some((rest) => open(rest) && !lit(rest)) ? [name] : [];
  });
}

/** Protectors that feel the load's heat, by Meaning 1: of its own part, told to sense it, or nothing told and not somewhere else. */
export function feelersOf({ machine }: Plain, id: number): number[] {
  const load = machine.loads[id]!;
  const heats = load.kind === "heater" || load.kind === "igniter";
  return machine.contacts
    .filter((c) => {
      if (!PROTECTORS.includes(c.role)) return false;
      if (c.part === load.part) return true;
      if (c.senses) return c.senses.some((other) => machine.loads[other]!.part === load.part);
      return c.role !== "built-in-protector" && (heats || machine.parts[c.part]!.at === undefined);
    })
    .map((c) => c.id);
}

/** On, with an end on the ground, and without current once every ground wire is gone. */
function groundReturns(plain: Plain, facts: Facts): void {
  const { machine, rests } = plain;
  const earth = plain.legs("protective");
  if (earth.length === 0) return;
  const pe = machine.supply.legs.filter(({ role }) => role === "protective").map(({ terminal }) => terminal);
  const kept = machine.wires.filter(({ kind, a, b }) => kind !== "bond" && !pe.includes(a) && !pe.includes(b));
  const bare = buildCircuit({ ...machine, wires: kept.map((wire, id) => ({ ...wire, id })) });
  for (const load of machine.loads) {
    const there = (rest: Rest): boolean =>
      plain.on(rest, load.id) && [load.a, load.b].some((t) => plain.tied(rest, plain.joint(t), earth));
    for (const rest of plain.eachLook(rests.filter(there)))
      if (!(ampsOf(solveState(bare, rest.state), load.id) > plain.amps(rest, load.id) / 2)) {
        facts.add("earth-as-return", load.name);
        break;
      }
  }
  for (const { part, primary } of machine.transformers)
    for (const [end, other] of [primary, [...primary].reverse()] as const)
      if (
        rests.some(
          (rest) =>
            rest.fed &&
            plain.tied(rest, plain.joint(end!), earth) &&
            !plain.tied(rest, plain.joint(end!), plain.legs("neutral")) &&
            plain.tied(rest, plain.joint(other!), plain.legs("live")),
        )
      )
        facts.add("earth-as-return", machine.parts[part]!.name);
}

/**
 * In a state with the contact closed, one of its ends reaches the neutral through closed contacts and a load is on only through it; in a
 * state with it open that load is off with an end on a live leg and none on the neutral.
 */
function neutralSwitches(plain: Plain): string[] {
  const { machine } = plain;
  const live = plain.legs("live");
  const neutral = plain.legs("neutral");
  const fed = plain.rests.filter((rest) => rest.fed);
  const found = machine.contacts
    .filter((c) => {
      // Nobody takes a sensor or a motor's own protector for an off switch.
      if (c.role === "built-in-protector" || machine.parts[c.part]!.kind === "sensor") return false;
      const cam = c.partner !== undefined && machine.programs.some(({ part }) => part === c.part);
      const passing = fed.filter((r) => r.look.closed[c.id] === 1 && plain.tied(r, plain.joint(c.a), neutral));
      const open = fed.filter((r) => r.look.closed[c.id] !== 1);
      if (passing.length === 0 || open.length === 0) return false;
      const staying = machine.loads.filter((l) => {
        if (l.kind === "resistor" || l.kind === "capacitor" || (cam && l.kind !== "heater")) return false;
        const ends = [plain.joint(l.a), plain.joint(l.b)];
        return (
          open.some(
            (r) =>
              plain.is(r, l.id, "off") &&
              ends.some((e) => plain.tied(r, e, live)) &&
              !ends.some((e) => plain.tied(r, e, neutral)),
          ) && passing.some((r) => plain.inSeries(r, c.id, l.id))
        );
      });
      // A knob whose off takes the volts off all of them: they only happen to be off in one of its heats.
      const dead = (state: (r: (typeof fed)[number]) => boolean): boolean => {
        const there = plain.rests.filter(state);
        const ends = staying.flatMap((l) => [plain.joint(l.a), plain.joint(l.b)]);
        return there.length > 0 && !there.some((r) => ends.some((e) => plain.tied(r, e, live)));
      };
      const knobs = machine.controls.filter(
        ({ id, part, role }) =>
          part === c.part &&
          (role === "selector" || role === "switch") &&
          c.closed.some((clause) => clause.some(({ control }) => control === id)),
      );
      const off = knobs.some(({ id, positions }) => positions.some((_, at) => dead((r) => r.state[id] === at)));
      return staying.length > 0 && !off;
    })
    .map(({ part }) => machine.parts[part]!.name);
  if (machine.supply.reversible && reversed(plain)) found.push("the plug");
  return [...new Set(found)];
}

/** A plug that fits both ways: some load is off with an end tied to the neutral, which may be the live one. */
function reversed(plain: Plain): boolean {
  const neutral = plain.legs("neutral");
  return plain.machine.loads.some(
    (l) =>
      l.kind !== "resistor" &&
      l.kind !== "capacitor" &&
      plain.rests.some(
        (r) => r.fed && plain.is(r, l.id, "off") && [l.a, l.b].some((t) => plain.tied(r, plain.joint(t), neutral)),
      ),
  );
}

/** One contact welded (its changeover partner then never closes): the load is on with no protector that feels it in series. */
export function weldedStates(plain: Plain, make: (machine: Plain["machine"]) => Plain, facts: Facts): void {
  const { machine } = plain;
  const welds = new Map<number, Plain>();
  for (const load of machine.loads) {
    const feeling = feelersOf(plain, load.id);
    if (!load.needsProtector || feeling.length === 0) continue;
    const bare = (one: Plain): boolean =>
      one.rests.some((r) => one.on(r, load.id) && !feeling.some((id) => one.inSeries(r, id, load.id)));
    if (!plain.rests.some((r) => plain.on(r, load.id)) || bare(plain)) continue;
    for (const { id, role, closed, partner } of machine.contacts) {
      if (feeling.includes(id) || role === "fuse" || role === "breaker" || closed.some((clause) => clause.length === 0))
        continue;
      const welded =
        welds.get(id) ??
        make(
          edit(machine, [
            { edit: "change-contact", contact: id, closed: [[]] },
            ...(partner === undefined ? [] : [{ edit: "change-contact", contact: partner, closed: [] } as const]),
          ]),
        );
      welds.set(id, welded);
      if (!bare(welded)) continue;
      facts.add("weld-defeats-protector", plain.partOf(load.id));
      break;
    }
  }
}
