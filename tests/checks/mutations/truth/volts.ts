/** What loads get: too much, too little, never, always; capacitors; motors that hum. */
import { conditionHolds } from "../../../../server/circuit/condition.ts";
import type { Load } from "../../../../server/machine/machine.ts";
import type { Facts, Plain, Rest } from "./plain.ts";

/** Kinds that are not fed for their own sake, or whose volts are judged elsewhere: the page of load-weak. */
const NOT_JUDGED = ["resistor", "capacitor", "sensor", "diode", "ptc", "bias-heater", "start-winding"];
const BY_NATURE = ["board", "resistor", "capacitor", "sensor", "neon", "ptc", "diode"];

export function volts(plain: Plain, facts: Facts): void {
  const { machine, rests } = plain;
  const fed = rests.filter((rest) => rest.fed);
  const restless = new Set(plain.engine.chatters().flatMap((c) => c.controls.map((id) => machine.controls[id]!.part)));
  const byCurrent = new Set(machine.controls.flatMap(({ rule }) => (rule?.rule === "current" ? [rule.load] : [])));
  for (const load of machine.loads) {
    overVolts(plain, load, facts);
    const ever = rests.some((rest) => plain.on(rest, load.id));
    if (ever && !BY_NATURE.includes(load.kind) && fed.every((rest) => plain.on(rest, load.id)))
      facts.add("always-energised", load.name);
    // A relay or motor that chatters is told as that, an end that nothing shares as a loose one.
    const asked = !NOT_JUDGED.includes(load.kind) && !byCurrent.has(load.id) && !restless.has(load.part);
    if (asked && !ever && [load.a, load.b].every((t) => endsAt(plain, t) > 1))
      facts.add("load-never-energised", load.name);
    weakVolts(plain, load, facts);
    if (load.kind === "start-winding") staysIn(plain, load, facts);
    meantVolts(plain, load, facts);
    if (load.kind === "capacitor") capacitor(plain, load, facts);
  }
  for (const { id, rule, part } of machine.controls)
    if (
      rule?.rule === "motor" &&
      rests.some((r) => r.state[id] === 1 && rule.mains.some((main) => plain.full(r, main)))
    )
      facts.add("motor-cannot-start", machine.parts[part]!.name);
}

/** Ends of contacts, loads and legs on the joint of a terminal. */
function endsAt(plain: Plain, terminal: number): number {
  const { machine, circuit } = plain;
  const there = circuit.terminalsOf[plain.joint(terminal)]!;
  const ends = [...machine.contacts, ...machine.loads].flatMap(({ a, b }) => [a, b]);
  for (const { primary, secondary } of machine.transformers) ends.push(...primary, ...secondary);
  return (
    ends.filter((end) => there.includes(end)).length +
    machine.supply.legs.filter((leg) => there.includes(leg.terminal)).length
  );
}

function overVolts(plain: Plain, load: Load, facts: Facts): void {
  if (load.ratedVolts === undefined || load.kind === "capacitor") return;
  const over = plain.eachLook(plain.rests.filter((rest) => plain.is(rest, load.id, "over")));
  const capacitors = plain.machine.loads.filter(({ kind }) => kind === "capacitor");
  // More volts than the line are meant for a start winding behind a capacitor.
  const meant = (rest: Rest): boolean =>
    load.kind === "start-winding" && capacitors.some(({ id }) => plain.through(rest, load.id, id));
  if (over.some((rest) => !meant(rest))) facts.add("wrong-voltage", load.name);
}

/** A winding for seconds that has volts while its motor runs, with nothing in series that keeps its current low. */
function staysIn(plain: Plain, load: Load, facts: Facts): void {
  const { machine } = plain;
  const meant = ["capacitor-run", "impedance-protected"].some((mark) => machine.parts[load.part]!.marks.includes(mark));
  if (meant || load.ratedAmps !== undefined || load.control === undefined) return;
  const low = machine.loads.filter(
    ({ kind, capacitorDuty }) => kind === "ptc" || (kind === "capacitor" && capacitorDuty !== "start"),
  );
  const stays = plain
    .eachLook(plain.rests.filter((rest) => rest.state[load.control!]! >= 2 && plain.on(rest, load.id)))
    .some((rest) => !low.some(({ id }) => plain.through(rest, load.id, id)));
  if (stays) facts.add("start-winding-stays", load.name);
}

/** Volts within a tenth of what the text states as meant. */
function near(load: Load, volts: number): boolean {
  return load.alsoAt.some((at) => Math.abs(volts - at.volts) <= at.volts * 0.1);
}

/** Too few volts that nobody meant; told by one of three checks, by cause. */
function weakVolts(plain: Plain, load: Load, facts: Facts): void {
  const { machine, rests } = plain;
  if (NOT_JUDGED.includes(load.kind) || load.ratedVolts === undefined || !load.known) return;
  const meant = (rest: Rest): boolean =>
    load.through.some(({ when }) => when.length === 0 || conditionHolds(when, rest.state)) ||
    near(load, plain.volts(rest, load.id));
  const weak = plain.eachLook(rests.filter((rest) => plain.is(rest, load.id, "weak") && !meant(rest)));
  if (weak.length === 0) return;
  facts.add("weak", load.name);
  const works = plain.eachLook(rests.filter((rest) => plain.full(rest, load.id)));
  // The page of back-feed: closed whenever it works, and in some of those states at least a third of its volts come through it.
  const own = machine.contacts.filter(
    ({ id }) =>
      works.every((rest) => rest.look.closed[id] === 1) &&
      works.some(
        (rest) =>
          plain.volts(rest, load.id, { contacts: new Map([[id, { as: "open" }]]) }) <
          (plain.volts(rest, load.id) * 2) / 3,
      ),
  );
  for (const rest of weak) {
    const through = machine.loads.some(({ id }) => plain.through(rest, load.id, id));
    if (!through) facts.add("load-weak", load.name);
    else if (own.some(({ id }) => rest.look.closed[id] !== 1)) facts.add("back-feed", load.name);
    else facts.add("series-feed", load.name);
  }
}

/** `also at` and `through` that no state bears out. */
function meantVolts(plain: Plain, load: Load, facts: Facts): void {
  const on = plain.eachLook(plain.rests.filter((rest) => plain.on(rest, load.id)));
  if (on.length === 0 || !load.known) return;
  for (const at of load.alsoAt)
    if (!on.some((rest) => near({ ...load, alsoAt: [at] }, plain.volts(rest, load.id))))
      facts.add("meant-volts-untrue", load.name);
  // One claim for each part that a `through` names.
  const { machine } = plain;
  const claimOf = (said: Load["through"][number]) => `${said.place.from} ${machine.loads[said.load]!.part}`;
  for (const claim of new Set(load.through.map(claimOf))) {
    const said = load.through.filter((each) => claimOf(each) === claim);
    const { when } = said[0]!;
    const there = plain.rests.filter(
      (r) => plain.on(r, load.id) && (when.length === 0 || conditionHolds(when, r.state)),
    );
    const runs = (rest: Rest): boolean =>
      said.some(
        ({ load: other }) =>
          plain.volts(rest, load.id, { loads: new Map([[other, { as: "open" }]]) }) < plain.volts(rest, load.id) / 2 ||
          plain.takenOver(rest, load.id, other) >= plain.amps(rest, load.id) / 2,
      );
    if (!plain.eachLook(there).some(runs)) facts.add("meant-volts-untrue", load.name);
  }
}

function capacitor(plain: Plain, load: Load, facts: Facts): void {
  const { machine, circuit } = plain;
  const most = plain.largest({ of: "load-volts", load: load.id });
  if (load.ratedVolts !== undefined && most > load.ratedVolts * 1.0001) facts.add("capacitor-volts", load.name);
  if ((load.capacitance ?? 0) < 0.1e-6 || !plain.rests.some((rest) => plain.on(rest, load.id))) return;
  // With every contact open: which joints loads that pass direct current make one.
  const colour = Int32Array.from({ length: circuit.jointCount }, (_, i) => i);
  for (const { id, kind, impedance } of machine.loads) {
    if (!impedance.some((z) => z !== undefined && (kind !== "capacitor" || z.re > 0))) continue;
    const [from, to] = [colour[circuit.loadA[id]!]!, colour[circuit.loadB[id]!]!];
    for (let i = 0; i < colour.length; i++) if (colour[i] === from) colour[i] = to;
  }
  if (colour[circuit.loadA[load.id]!] !== colour[circuit.loadB[load.id]!])
    facts.add("capacitor-holds-charge", load.name);
}
