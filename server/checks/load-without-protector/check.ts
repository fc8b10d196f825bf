/** A heater, or a motor without a protection mark, that is energised with no protector that feels it in series. */
import type { Contact, Load, MachineState } from "../../machine/machine.ts";
import type { Engine, Region } from "../../states/engine.ts";
import { anyOf, coversAll, energised, isThermalProtector, less, senses, seriesContacts, shown } from "../ask.ts";
import type { Check, CheckContext } from "../check.ts";
import { contactName, deviceWord, doing, list, loadName, related, relatedOnce, verb, volts, watts } from "../words.ts";

/** Heaters below this with a thermostat in series (defrost heaters) get a warning; trade judgement, no published source. */
const SMALL_HEATER_WATTS = 1000;

export const loadWithoutProtector: Check = {
  id: "load-without-protector",
  gravity: "error",
  title: "A heater or motor that nothing protects when it gets too hot",
  *run(context: CheckContext) {
    const { machine, engine } = context;
    const told = new Set<number>();
    for (const load of machine.loads) {
      if (!load.needsProtector || told.has(load.part)) continue;
      const on = energised(engine, load.id);
      if (engine.isEmpty(on)) continue;
      const protectors = machine.contacts.filter((c) => isThermalProtector(c) && senses(machine, c, load));
      const bare = less(
        engine,
        on,
        anyOf(
          engine,
          protectors.map((c) => engine.inSeries(c.id, load.id)),
        ),
      );
      const state = engine.witness(bare);
      if (state) {
        told.add(load.part);
        report(context, load, on, bare, state);
      }
      yield;
    }
  },
};

function report(context: CheckContext, load: Load, on: Region, bare: Region, state: MachineState): void {
  const { machine, engine } = context;
  const inSeries = seriesContacts(engine, load.id, state).map((id) => machine.contacts[id]!);
  const name = loadName(machine, load.id);
  const indirect = coversAll(engine) ? indirectProtectors(engine, load, on) : [];
  // What the indirect way hangs on: contacts in series that a motor, a relay or another settled thing moves.
  const between = inSeries.filter(
    ({ role, closed }) =>
      role === "switching" && closed.some((clause) => clause.some(({ control }) => machine.controls[control]!.settled)),
  );
  const always = engine.isEmpty(less(engine, on, bare));
  const thermostats = inSeries.filter(({ role }) => role === "thermostat");
  const strangers = inSeries.filter(isThermalProtector);
  const fuses = inSeries.filter(({ role }) => role === "fuse" || role === "breaker");
  const other = inSeries.filter(({ role }) => role === "level" || role === "lock");

  const present: string[] = [];
  if (thermostats.length > 0)
    present.push(
      `${names(context, thermostats)} ${verb(thermostats.length, "works in normal use and is", "work in normal use and are")} not protection`,
    );
  if (strangers.length > 0)
    present.push(
      `${names(context, strangers)} ${verb(strangers.length, "is in series with it but does", "are in series with it but do")} not feel its heat`,
    );
  if (fuses.length > 0)
    present.push(`${names(context, fuses)} ${verb(fuses.length, "opens", "open")} on a short, not on heat`);
  if (other.length > 0)
    present.push(
      `${names(context, other)} ${verb(other.length, "guards against its own hazard", "guard against hazards of their own")} only`,
    );

  const does = doing(load);
  const what =
    indirect.length > 0
      ? `${name} has no protector in series that feels it; ${names(context, indirect)} ${verb(indirect.length, "stops", "stop")} it only indirectly, by way of ${between.length > 0 ? names(context, between) : "something else that drops out"}.`
      : always
        ? `${name} has no thermal protector in series.`
        : `${name} ${does} with no thermal protector in series in some states.`;
  const heats = load.kind === "heater" || load.kind === "igniter";
  const small = heats && thermostats.length > 0 && (load.ratedWatts ?? Number.POSITIVE_INFINITY) <= SMALL_HEATER_WATTS;
  context.report({
    // An indirect way off is a way off, but it hangs on a contact that may weld: less than an error, never an all-clear.
    gravity: indirect.length > 0 || small || !heats ? "warning" : undefined,
    place: load.namePlace,
    what,
    why: `${heats ? "Without airflow or water, or with a control stuck closed, it overheats and nothing opens" : "A stalled or overloaded winding overheats and nothing opens"}${present.length > 0 ? `: ${list(present)}` : ""}.`,
    advice: indirect.length > 0 ? indirectAdvice(context, between) : advice(load, heats),
    state: shown(engine, state),
    related: relatedOnce(load.namePlace, [
      ...inSeries.map((c) => related(c.namePlace, `${deviceWord(c)} ${c.name}, in series with ${load.name} here`)),
      ...machine.contacts
        .filter((c) => isThermalProtector(c) && !inSeries.includes(c) && senses(machine, c, load))
        .map((c) =>
          related(c.namePlace, `${deviceWord(c)} ${c.name} is not in series with ${load.name} in this state`),
        ),
    ]),
  });
}

/** Protectors that feel the load and with which open it is off in every reachable state, though they are not in series. */
function indirectProtectors(engine: Engine, load: Load, on: Region): Contact[] {
  const { machine } = engine.circuit;
  return machine.contacts.filter((contact) => {
    if (!isThermalProtector(contact) || !senses(machine, contact, load)) return false;
    const open = engine.not(engine.closed(contact.id));
    return !engine.isEmpty(open) && engine.isEmpty(engine.and(open, on));
  });
}

function names(context: CheckContext, contacts: readonly Contact[]): string {
  return list(contacts.map(({ id }) => contactName(context.machine, id)));
}

function indirectAdvice(context: CheckContext, between: readonly Contact[]): string {
  const weld = between.length > 0 ? `${names(context, between)} may weld, and then nothing stops it. ` : "";
  return `${weld}Look whether a high limit in series was left out of the text or of the machine; where the maker really fitted none, silence this with that reason.`;
}

function advice(load: Load, heats: boolean): string {
  if (!heats)
    return "Read the motor's plate: if it is marked thermally or impedance protected, write thermally-protected or impedance-protected; else wire an overload in series.";
  const size = [load.ratedWatts && watts(load.ratedWatts), load.ratedVolts && volts(load.ratedVolts)]
    .filter(Boolean)
    .join(", ");
  return `Wire a limit or thermal link in series with it${size ? `, rated for ${size}` : ""}, or, where there is one that senses it, write senses ${load.name} there.`;
}
