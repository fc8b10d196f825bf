/** What is asked after the main diagnostics: the neutral lost, other supply volts, faults to the case, welds. */
import type { Edit } from "../../../../server/machine/edit.ts";
import { edit } from "../../../../server/machine/edit.ts";
import type { Load, Machine } from "../../../../server/machine/machine.ts";
import { type Facts, Plain } from "./plain.ts";
import { weldedStates } from "./protection.ts";

/** Largest number of contacts for which welds are tried one by one with the plain walk. */
const MOST_CONTACTS = 10;

export function later(plain: Plain, facts: Facts): void {
  lostNeutral(plain, facts);
  supplyLimits(plain, facts);
  caseFault(plain, facts);
  const { machine } = plain;
  if (machine.contacts.length <= MOST_CONTACTS) weldedStates(plain, (changed) => new Plain(changed), facts);
  else for (const { name } of machine.parts) facts.allow("weld-defeats-protector", name);
}

const NO_PLATE: readonly Load["kind"][] = ["resistor", "capacitor"];

function lostNeutral({ machine }: Plain, facts: Facts): void {
  const { legs } = machine.supply;
  const neutral = legs.find(({ role }) => role === "neutral");
  if (!neutral || legs.filter(({ role }) => role === "live").length < 2) return;
  const lost = new Plain(edit(machine, [{ edit: "lose-leg", terminal: neutral.terminal }]));
  const over = machine.loads.some(
    ({ id, ratedVolts, kind }) =>
      ratedVolts !== undefined && !NO_PLATE.includes(kind) && lost.rests.some((rest) => lost.is(rest, id, "over")),
  );
  if (over) facts.add("lost-neutral");
}

/** ANSI C84.1 Range B: 106 to 127 V on 120 V; IEC 60038: a tenth either way (from memory); a hair inside, for bounds that lie there. */
function supplyLimits(plain: Plain, facts: Facts): void {
  const { machine } = plain;
  const { supply } = machine;
  if (!supply.stated) return;
  const [low, high] = supply.frequency === 60 ? [106 / 120, 127 / 120] : [0.9, 1.1];
  const live = supply.legs.filter(({ role }) => role === "live");
  const cases: { edits: Edit[]; as: "weak" | "over" }[] = [
    { edits: [{ edit: "scale-supply", by: low! + 0.0001 }], as: "weak" },
    { edits: [{ edit: "scale-supply", by: high! - 0.0001 }], as: "over" },
  ];
  if (supply.form === "split" && live[1])
    cases.push({
      edits: [{ edit: "change-leg", terminal: live[1].terminal, volts: { re: -60, im: 60 * Math.sqrt(3) } }],
      as: "weak",
    });
  for (const { edits, as } of cases) {
    const changed = new Plain(edit(machine, edits));
    for (const { id, ratedVolts, kind, alsoAt } of machine.loads) {
      if (ratedVolts === undefined || NO_PLATE.includes(kind) || kind === "start-winding") continue;
      if (plain.rests.some((rest) => plain.is(rest, id, as)) || !plain.rests.some((rest) => plain.full(rest, id)))
        continue;
      if (!changed.rests.some((rest) => changed.is(rest, id, as))) continue;
      // Where reduced volts are meant in some states, which of them counts is a matter of judgement.
      if (alsoAt.length > 0) facts.allow("supply-limits");
      else facts.add("supply-limits");
    }
  }
}

/** A heater that is off with one end on a live leg and the other free: the part of it up to a fault has the leg's whole volts. */
function caseFault(plain: Plain, facts: Facts): void {
  const { machine } = plain;
  const protective = machine.supply.legs.some(({ role }) => role === "protective");
  const back = [...plain.legs("protective"), ...plain.legs("neutral")];
  for (const load of machine.loads) {
    const { frame } = machine.parts[load.part]!;
    if (frame === undefined ? !protective : !back.includes(plain.joint(frame))) continue;
    if (load.impedance.every((z) => z === undefined)) continue;
    if (load.kind !== "heater" && !["winding", "pump", "fan"].includes(load.kind)) continue;
    for (const rest of plain.rests) {
      if (!rest.fed || rest.look.shorted || !plain.is(rest, load.id, "off")) continue;
      for (const [near, far] of [
        [load.a, load.b],
        [load.b, load.a],
      ] as const)
        for (const leg of machine.supply.legs) {
          const volts = Math.hypot(leg.volts.re, leg.volts.im);
          if (!(volts > 1) || !plain.tied(rest, plain.joint(near), [plain.joint(leg.terminal)])) continue;
          facts.allow("case-fault", load.name);
          if (machine.supply.reversible) facts.allow("case-fault", "the plug");
          if (load.kind === "heater" && isFree(plain, rest.group, far, load.id) && heats(machine, load, volts))
            facts.add("case-fault", load.name);
        }
      if (
        machine.supply.reversible &&
        [load.a, load.b].some((t) => plain.tied(rest, plain.joint(t), plain.legs("neutral")))
      )
        facts.allow("case-fault", "the plug");
    }
  }
}

/** No other load and no leg on what this end is joined to. */
function isFree({ machine, circuit }: Plain, group: Int32Array, end: number, load: number): boolean {
  const here = group[circuit.jointOf[end]!];
  return (
    !machine.supply.legs.some(({ terminal }) => group[circuit.jointOf[terminal]!] === here) &&
    !machine.loads.some(
      ({ id }) => id !== load && (group[circuit.loadA[id]!] === here || group[circuit.loadB[id]!] === here),
    )
  );
}

/** At a quarter, half, three quarters or the whole of its length: at least a tenth of its watts, and no more than trips the breaker. */
function heats({ supply }: Machine, { ratedWatts, ratedVolts }: Load, volts: number): boolean {
  if (ratedWatts === undefined || ratedVolts === undefined) return false;
  const ohms = ratedVolts ** 2 / ratedWatts;
  return [0.25, 0.5, 0.75, 1].some((share) => {
    const amps = volts / (share * ohms);
    const trips = supply.breakerAmps !== undefined && amps > supply.breakerAmps * 1.44;
    return !trips && volts * amps >= ratedWatts * 0.11;
  });
}
