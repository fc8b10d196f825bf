/**
 * What ought to be found in a machine, worked out state by state from the oracle (every state solved one at a time), by
 * predicates written here from the definitions and not from the checks. `<id> <subject>` per fact.
 */
import { buildCircuit } from "../../../server/circuit/build.ts";
import type { Circuit } from "../../../server/circuit/circuit.ts";
import { conditionHolds } from "../../../server/circuit/condition.ts";
import type { Machine, MachineState } from "../../../server/machine/machine.ts";
import type { Engine, Region } from "../../../server/states/engine.ts";
import { engineOf, nominalStates } from "../../states/run.ts";

/** Ids whose truth is worked out here, both ways: what is true must be told, what is told must be true. */
export const JUDGED = [
  "legs-shorted",
  "chatter",
  "load-without-protector",
  "guard-defeated",
  "unbonded-metal",
  "wrong-voltage",
  "load-never-energised",
  "neutral-side-switch",
  "contact-over-rating",
] as const;

const PROTECTORS = ["limit", "link", "overload", "built-in-protector"];

export function truths(machine: Machine): Set<string> {
  const oracle: Engine = engineOf(machine);
  const { circuit } = oracle;
  const facts = new Set<string>();
  const states = [...nominalStates(machine)].filter((s) => oracle.has(oracle.all(), s));
  const any = (region: Region): boolean => !oracle.isEmpty(region);

  const chatters = oracle.chatters().flatMap(({ controls }) => controls);
  if (chatters.length > 0) facts.add("chatter");
  if (any(oracle.shorted())) facts.add("legs-shorted");

  const on = machine.loads.map(({ id }) => oracle.when(id, ["weak", "works", "over"]));
  for (const load of machine.loads) {
    const part = machine.parts[load.part]!;
    if (any(on[load.id]!) && load.needsProtector) {
      const heats = load.kind === "heater" || load.kind === "igniter";
      const feeling = machine.contacts.filter((c) => {
        if (!PROTECTORS.includes(c.role)) return false;
        if (c.part === load.part) return true;
        if (c.senses) return c.senses.some((id) => machine.loads[id]!.part === load.part);
        return c.role !== "built-in-protector" && (heats || machine.parts[c.part]!.at === undefined);
      });
      const covered = feeling.map((c) => oracle.inSeries(c.id, load.id));
      if (states.some((s) => oracle.has(on[load.id]!, s) && !covered.some((r) => oracle.has(r, s))))
        facts.add(`load-without-protector ${part.name}`);
    }
    if (
      load.ratedVolts !== undefined &&
      load.kind !== "capacitor" &&
      load.kind !== "start-winding" &&
      any(oracle.when(load.id, ["over"]))
    )
      facts.add(`wrong-voltage ${load.name}`);
    const asked =
      !["resistor", "capacitor", "sensor", "diode", "ptc", "bias-heater", "start-winding"].includes(load.kind) &&
      !machine.controls.some(({ rule }) => rule?.rule === "current" && rule.load === load.id);
    const busy = (t: number): number => {
      const there = circuit.terminalsOf[circuit.jointOf[t]!]!;
      const ends = [...machine.contacts, ...machine.loads].flatMap(({ a, b }) => [a, b]);
      return (
        ends.filter((end) => there.includes(end)).length +
        machine.supply.legs.filter((leg) => there.includes(leg.terminal)).length
      );
    };
    const ends = [busy(load.a), busy(load.b)];
    // A relay or motor that chatters is told as that.
    const restless = chatters.some((id) => machine.controls[id]!.part === load.part);
    if (asked && !restless && !any(on[load.id]!) && ends.every((n) => n > 1))
      facts.add(`load-never-energised ${load.name}`);
  }

  for (const guard of machine.guards)
    for (const s of states) {
      if (conditionHolds(guard.holds, s) || (guard.only && !conditionHolds(guard.only, s))) continue;
      if (guard.loads.some((id) => oracle.has(on[id]!, s)))
        facts.add(`guard-defeated ${machine.parts[guard.part]!.name}`);
    }

  const roles = (role: string): number[] =>
    machine.supply.legs.filter((l) => l.role === role).map((l) => circuit.jointOf[l.terminal]!);
  const groups = new Set<number>();
  for (const { frame } of machine.parts) {
    if (frame === undefined) continue;
    const joint = circuit.jointOf[frame]!;
    if (!roles("protective").includes(joint) && !roles("neutral").includes(joint)) groups.add(joint);
  }
  if (groups.size > 0) facts.add("unbonded-metal");

  for (const name of neutralSwitches(machine, oracle, states, roles)) facts.add(`neutral-side-switch ${name}`);

  // Only what no reading of duties can excuse: more steady amps than any point states at any voltage.
  for (const c of machine.contacts) {
    const most = Math.max(...c.ratings.map(({ amps }) => amps ?? 0));
    const carries = oracle.extreme({ of: "carries", contact: c.id }, oracle.all()).largest?.value ?? 0;
    if (c.ratings.length > 0 && carries > most * 1.000001) facts.add(`contact-over-rating ${c.name}`);
  }
  return facts;
}

/**
 * In a state with the contact closed, one of its ends reaches the neutral through closed contacts and a load is on only through it; in a
 * state with it open that load is off with an end on a live leg and none on the neutral.
 */
function neutralSwitches(
  machine: Machine,
  oracle: Engine,
  states: readonly MachineState[],
  roles: (role: string) => number[],
): string[] {
  const circuit = buildCircuit(machine);
  const live = roles("live");
  const neutral = roles("neutral");
  const fed = states.filter((s) => s[machine.supply.control] === 0);
  const groups = fed.map((s) => groupsOf(machine, circuit, s));
  const off = machine.loads.map(({ id }) => oracle.when(id, ["off"]));
  const found = machine.contacts
    .filter((c) => {
      // Nobody takes a sensor or a motor's own protector for an off switch.
      if (c.role === "built-in-protector" || machine.parts[c.part]!.kind === "sensor") return false;
      const cam = c.partner !== undefined && machine.programs.some(({ part }) => part === c.part);
      const closed = oracle.closed(c.id);
      const is = fed.map((s) => oracle.has(closed, s));
      const toNeutral = fed.map(
        (_, i) => is[i] && neutral.some((n) => groups[i]![n] === groups[i]![circuit.jointOf[c.a]!]),
      );
      if (!toNeutral.includes(true) || !is.includes(false)) return false;
      return machine.loads.some((l) => {
        if (l.kind === "resistor" || l.kind === "capacitor" || (cam && l.kind !== "heater")) return false;
        const ends = [circuit.jointOf[l.a]!, circuit.jointOf[l.b]!];
        const leftLive = fed.some(
          (s, i) =>
            !is[i] &&
            ends.some((e) => live.some((x) => groups[i]![x] === groups[i]![e])) &&
            !ends.some((e) => neutral.some((x) => groups[i]![x] === groups[i]![e])) &&
            oracle.has(off[l.id]!, s),
        );
        if (!leftLive) return false;
        const series = oracle.inSeries(c.id, l.id);
        return fed.some((s, i) => toNeutral[i] && oracle.has(series, s));
      });
    })
    .map(({ part }) => machine.parts[part]!.name);
  return [...new Set(found)];
}

/** Which joints closed contacts make one, by plain repeated painting. */
function groupsOf(machine: Machine, circuit: Circuit, state: MachineState): Int32Array {
  const colour = Int32Array.from({ length: circuit.jointCount }, (_, i) => i);
  for (const c of machine.contacts) {
    if (!conditionHolds(c.closed, state)) continue;
    const from = colour[circuit.jointOf[c.a]!]!;
    const to = colour[circuit.jointOf[c.b]!]!;
    if (from !== to) for (let i = 0; i < colour.length; i++) if (colour[i] === from) colour[i] = to;
  }
  return colour;
}
