/** A fault to grounded metal that heats or runs a load past its open contacts: part way along a heater, or at a load's end. */
import { magnitude } from "../../circuit/measure.ts";
import { solveState } from "../../circuit/solve.ts";
import { touchingCase } from "../../circuit/touching-case.ts";
import { edit } from "../../machine/edit.ts";
import type { Contact, Load, Machine, MachineState, TerminalId } from "../../machine/machine.ts";
import type { Engine, Region } from "../../states/engine.ts";
import { anyOf, isThermalProtector, less, shown, supplyOn } from "../ask.ts";
import type { Check, CheckContext } from "../check.ts";
import {
  amps,
  contactName,
  list,
  loadName,
  percent,
  related,
  relatedOnce,
  terminalName,
  verb,
  watts,
} from "../words.ts";
import { inTheWay } from "./in-the-way.ts";

/** Where along the heater the fault is put, counted from its live end; 1 is its far end. */
const SHARES = [0.25, 0.5, 0.75, 1];
/** Below this share of its watts a heater past its open contacts is not told. Trade judgement, no published source. */
const LEAST_SHARE = 0.1;
const TURNING = new Set<Load["kind"]>(["winding", "pump", "fan"]);

interface Fault {
  readonly watts: number;
  readonly amps: number;
  readonly state: MachineState;
  readonly engine: Engine;
  /** The plug stands the other way round than the text has it. */
  readonly turned: boolean;
  readonly end: TerminalId;
}

export const caseFault: Check = {
  id: "case-fault",
  gravity: "information",
  title: "A fault to grounded metal that heats or runs a load with its contacts open",
  phase: "later",
  *run(context: CheckContext) {
    const { engine, machine } = context;
    const engines: { engine: Engine; turned: boolean }[] = [{ engine, turned: false }];
    if (machine.supply.reversible && context.analyse)
      engines.push({ engine: yield* context.analyse(edit(machine, plugTurned(machine))), turned: true });
    let open = false;
    const byPlug: { load: Load; worst: Fault }[] = [];
    for (const load of machine.loads) {
      if (!grounded(engine, machine, load)) continue;
      if (load.kind !== "heater" && !(TURNING.has(load.kind) && load.ratedVolts !== undefined)) continue;
      let worst: Fault | undefined;
      for (const { engine: one, turned } of engines) {
        if (!one.covered().complete) open = true;
        for (const end of [load.a, load.b])
          for (const leg of liveLegs(one)) {
            yield;
            const far = end === load.a ? load.b : load.a;
            const held = offAndTied(one, load, end, leg);
            let before: MachineState | undefined;
            for (const region of [less(one, held, tiedToAny(one, far)), held]) {
              const state = one.witness(region);
              if (!state || (before && isSameState(before, state))) continue;
              before = state;
              const found = touching(one, load, end, state);
              if (found && (!worst || found.watts > worst.watts * (1 + 1e-6)))
                worst = { ...found, state, engine: one, turned, end: far };
            }
          }
      }
      if (worst?.turned) byPlug.push({ load, worst });
      else if (worst) tell(context, load, worst);
    }
    tellTurned(context, byPlug);
    const grown = machine.supply.reversible
      ? "faults to the case, with the plug either way round"
      : "faults to the case";
    context.looked(grown, open ? [`${grown}: not in every state.`] : []);
    if (open)
      context.report({
        place: machine.supply.place,
        what: "Faults to the case were not looked at in every state.",
        why: "A load that one fault would heat or run with its contacts open may have been missed.",
        advice: "Look by hand at heaters and motors that keep one end on a live leg.",
        related: [],
      });
  },
};

function isSameState(a: MachineState, b: MachineState): boolean {
  return a.length === b.length && a.every((position, control) => position === b[control]);
}

/** Live and neutral change places. */
function plugTurned({ supply }: Machine): Parameters<typeof edit>[1] {
  const live = supply.legs.find(({ role }) => role === "live");
  const neutral = supply.legs.find(({ role }) => role === "neutral");
  if (!live || !neutral) return [];
  return [
    { edit: "change-leg", terminal: live.terminal, volts: neutral.volts },
    { edit: "change-leg", terminal: neutral.terminal, volts: live.volts },
  ];
}

function liveLegs(engine: Engine): number[] {
  return engine.circuit.machine.supply.legs.flatMap(({ volts }, leg) => (magnitude(volts) > 1 ? [leg] : []));
}

/** A heater with both ends on legs may draw enough through a fault to trip the breaker, and with one end free it does not. */
function tiedToAny(engine: Engine, terminal: TerminalId): Region {
  return anyOf(
    engine,
    engine.circuit.machine.supply.legs.map((_, leg) => engine.tied(terminal, leg)),
  );
}

/**
 * States in which the load is off and this end of it is tied to the leg, so that it has that leg's whole volts against ground whatever the
 * rest does: what stands at its other end apart, one state of them shows what any of them would. A motor counts only with a protector open,
 * which is then no help.
 */
function offAndTied(engine: Engine, load: Load, end: TerminalId, leg: number): Region {
  const off = engine.and(engine.and(supplyOn(engine), engine.when(load.id, ["off"])), engine.tied(end, leg));
  const held = less(engine, off, engine.shorted());
  if (load.kind === "heater") return held;
  const protectors = engine.circuit.machine.contacts.filter(
    (c) => protects(c) && !engine.isEmpty(engine.inSeries(c.id, load.id)),
  );
  return engine.and(
    held,
    anyOf(
      engine,
      protectors.map(({ id }) => engine.not(engine.closed(id))),
    ),
  );
}

/** True when the metal round the load is tied to the ground or neutral by wire, so that a fault has a way back. */
function grounded(engine: Engine, machine: Machine, load: Load): boolean {
  const { jointOf } = engine.circuit;
  const frame = machine.parts[load.part]!.frame;
  const back = machine.supply.legs.filter(({ role }) => role !== "live").map(({ terminal }) => jointOf[terminal]);
  if (frame === undefined) return machine.supply.legs.some(({ role }) => role === "protective");
  return back.includes(jointOf[frame]);
}

type Found = Pick<Fault, "watts" | "amps">;

/**
 * What the load does with its metal touched. Noted, since the metal is a leg's: what is not joined to the load but by legs plays no part.
 * Transformers join what no wire does.
 */
function touching(engine: Engine, load: Load, end: TerminalId, state: MachineState): Found | undefined {
  const { machine, jointOf, legJoint } = engine.circuit;
  const { legs, breakerAmps } = machine.supply;
  const metal = [machine.parts[load.part]!.frame, legs.find(({ role }) => role === "protective")?.terminal];
  const touched = metal.map((terminal) => (terminal === undefined ? -1 : legJoint.indexOf(jointOf[terminal]!)));
  const said = [load.kind, load.ratedWatts, load.ratedVolts, load.scale.works, breakerAmps, end === load.a, touched];
  const note = machine.transformers.length > 0 ? undefined : engine.noteAbout?.(load.id, `case ${said} ${state}`);
  const known = note?.read() as { readonly found: Found | undefined } | undefined;
  if (known) return known.found;
  const found = load.kind === "heater" ? alongHeater(engine, load, end, state) : atFarEnd(engine, load, end, state);
  note?.write({ found });
  return found;
}

/** The worst place along the coil. */
function alongHeater(engine: Engine, load: Load, end: TerminalId, state: MachineState): Found | undefined {
  let worst: Found | undefined;
  const shares = end === load.a ? SHARES : SHARES.map((share) => 1 - share);
  for (const { watts: power, amps: current } of touchingCase(engine.circuit, state, load.id, shares)) {
    if (!current || !Number.isFinite(power)) continue;
    if (load.ratedWatts === undefined || power < load.ratedWatts * LEAST_SHARE) continue;
    const size = magnitude(current);
    if (!trips(engine.circuit.machine, size) && (!worst || power > worst.watts)) worst = { watts: power, amps: size };
  }
  return worst;
}

/** A motor whose far end touches metal. */
function atFarEnd(engine: Engine, load: Load, end: TerminalId, state: MachineState): Found | undefined {
  const { machine } = engine.circuit;
  const ground = machine.supply.legs.find(({ role }) => role === "protective");
  if (!ground || load.ratedVolts === undefined) return undefined;
  const far = end === load.a ? load.b : load.a;
  const solution = solveState(engine.circuit, state, {
    overrides: { added: [{ a: far, b: ground.terminal, ohms: 0.001 }] },
  });
  const volts = Math.hypot(solution.loadVolts.re[load.id]!, solution.loadVolts.im[load.id]!);
  const current = Math.hypot(solution.loadAmps.re[load.id]!, solution.loadAmps.im[load.id]!);
  if (solution.shorts.length > 0 || !(volts >= load.ratedVolts * load.scale.works)) return undefined;
  return { watts: solution.loadWatts[load.id]!, amps: current };
}

/**
 * Up to this share of its rating a breaker may hold for an hour (IEC 60898-1, 1.45 times; UL 489 has 1.35 times; both from memory), which is
 * long enough to burn. Above it the breaker trips, the sooner the more it is.
 */
const TRIPS_AT = 1.45;

/** A fault that trips the breaker is a short, and told by it. */
function trips({ supply }: Machine, current: number): boolean {
  return supply.breakerAmps !== undefined && current > supply.breakerAmps * TRIPS_AT;
}

function protects(contact: Contact): boolean {
  return isThermalProtector(contact) || contact.role === "level" || contact.role === "lock";
}

/** Contacts that keep the load off here, though it is on through them elsewhere. */
function openHere(engine: Engine, load: Load, state: MachineState): readonly Contact[] {
  const open = engine.circuit.machine.contacts.filter(
    ({ id }) => !engine.has(engine.closed(id), state) && !engine.isEmpty(engine.inSeries(id, load.id)),
  );
  return inTheWay(engine, load, state, open);
}

function tell({ machine, report }: CheckContext, load: Load, worst: Fault): void {
  const open = openHere(worst.engine, load, worst.state);
  const names = list(open.map(({ id }) => contactName(machine, id)));
  const breaker = machine.supply.breakerAmps;
  const held = open.length > 0 ? ` with ${names} open` : "";
  const heats = load.kind === "heater";
  report({
    place: load.namePlace,
    what: heats
      ? `If the coil of ${loadName(machine, load.id)} touches its sheath, it heats at up to ${watts(worst.watts)} (${percent(worst.watts / load.ratedWatts!)})${held}: one end stays on a live leg.`
      : `If ${terminalName(machine, worst.end)} touches grounded metal, ${loadName(machine, load.id)} runs${held}: its other end stays on a live leg.`,
    why: `The current, ${amps(worst.amps)}, runs to ground past every contact on the other side${breaker !== undefined && worst.amps <= breaker ? `, and the ${amps(breaker)} breaker does not trip` : ""}.${heats ? " (Looked at with the coil touching at a quarter, half and three quarters of its length and at its ends.)" : ""}`,
    advice: heats
      ? "With a heater that heats when it should be off, measure from each of its ends to its sheath, unplugged: anything but open means a new heater. A contact in each leg would stop it."
      : "Move what should stop it to the live side, ahead of the load; unplugged, measure from its ends to the metal round it: anything but open must be mended.",
    state: shown(worst.engine, worst.state),
    related: relatedOnce(
      load.namePlace,
      open.map((c) => related(c.namePlace, `${c.name} is open and does not help`)),
    ),
  });
}

/** With the plug the other way round every load switched on one side only is hit alike: said once. */
function tellTurned({ machine, report }: CheckContext, hit: readonly { load: Load; worst: Fault }[]): void {
  const [first] = hit;
  if (!first) return;
  const heater = hit.find(({ load }) => load.kind === "heater");
  report({
    place: machine.supply.place,
    what: `With the plug turned round, ${list(hit.map(({ load }) => loadName(machine, load.id)))} can work with what should hold ${verb(hit.length, "it", "them")} off open, if ${verb(hit.length, "it touches", "they touch")} grounded metal: one end then stays on the live leg.`,
    why: `The current runs to ground past every contact${heater ? `; ${heater.load.name} heats at up to ${watts(heater.worst.watts)} so` : ""}. (Heaters were looked at with the coil touching at a quarter, half and three quarters of its length and at its ends.)`,
    advice:
      "With one that works when it should be off, unplug, and measure from each of its ends to the metal round it: anything but open must be mended. A switch that opens both sides would stop it.",
    state: shown(first.worst.engine, first.worst.state),
    related: relatedOnce(
      machine.supply.place,
      hit.map(({ load }) => related(load.namePlace, `${load.name} keeps one end on the live leg`)),
    ),
  });
}
