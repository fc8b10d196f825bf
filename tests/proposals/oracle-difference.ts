/**
 * What a rewire changes, by brute force: both machines are walked state by state (tests/oracle) and every field of the difference is
 * worked out from the lists, as the comments beside its fields say. Nothing of server/proposals is used but the names of fields.
 */
import type { Condition, Contact, Control, Guard, Load, Machine, MachineState } from "../../server/machine/machine.ts";
import type { Engine, LoadClass, Region } from "../../server/states/engine.ts";
import { currentOutOf, nearSide } from "../oracle/wires.ts";
import { everyState } from "../states-exact/compare.ts";

/** Largest amounts before and after, where they differ by more than the difference tells apart. */
type Amounts = readonly [number | undefined, number | undefined];

export interface OracleDifference {
  readonly bridged: readonly string[];
  readonly short: boolean;
  /** What moves or heats and needs no start any more, by name. */
  readonly selfStarts: readonly string[];
  readonly guards: readonly string[];
  readonly protection: readonly string[];
  /** `A7 new`, `A0 gone`. */
  readonly come: readonly string[];
  /** Of loads that both machines have, by name. */
  readonly loads: ReadonlyMap<string, { readonly gained: boolean; readonly lost: boolean; readonly watts?: Amounts }>;
  /** Of those the ones that only lost states whose inputs do not occur any more. */
  readonly unmissed: readonly string[];
  /** `fan heaters` */
  readonly lostAir: readonly string[];
  readonly contacts: ReadonlyMap<string, Amounts>;
  /** Most that a wire of each size carries, motors that hum left out. */
  readonly conductors: ReadonlyMap<string, Amounts>;
}

const CLASSES: readonly (readonly LoadClass[])[] = [["weak", "works", "over"], ["works", "over"], ["over"]];

/** Names of both machines must agree (no renames). */
export function oracleDifference(one: Engine, two: Engine): OracleDifference {
  const [a, b] = [one.circuit.machine, two.circuit.machine];
  const states = [everyState(a), everyState(b)] as const;
  const of = (engine: Engine, region: Region): MachineState[] =>
    states[engine === one ? 0 : 1].filter((state) => engine.has(region, state));
  /** Some state of `wider` agrees with none of `narrower` in the controls that both machines have. */
  const beyond = (wider: Region, narrower: Region, leftOut: ReadonlySet<string> = new Set()): boolean => {
    return of(wider.engine, wider).some((state) => !agrees(wider.engine, state, narrower, leftOut));
  };
  const agrees = (engine: Engine, state: MachineState, region: Region, leftOut: ReadonlySet<string>): boolean => {
    const own = named(engine.circuit.machine, state);
    const { machine } = region.engine.circuit;
    return of(region.engine, region).some((other) =>
      [...named(machine, other)].every(
        ([name, at]) => leftOut.has(name) || own.get(name) === undefined || own.get(name) === at,
      ),
    );
  };
  const idle = idleIn([a, b]);
  const energised = (engine: Engine, load: Load) => engine.when(load.id, CLASSES[0]!);
  const empty = (region: Region) => of(region.engine, region).length === 0;

  const come: string[] = [];
  const unmissed: string[] = [];
  const loads = new Map<string, { gained: boolean; lost: boolean; watts?: Amounts }>();
  for (const [x, y] of paired(a.loads, b.loads)) {
    // New ones are told in any case, those that are gone when they ever worked.
    if (!x || !y) {
      if (y || !empty(energised(one, x!))) come.push(`${(y ?? x)!.name} ${y ? "new" : "gone"}`);
      continue;
    }
    const gained = CLASSES.some((classes) => beyond(two.when(y.id, classes), one.when(x.id, classes), idle));
    const lost = CLASSES.some((classes) => beyond(one.when(x.id, classes), two.when(y.id, classes), idle));
    // No amounts are told of a shorted state.
    const most = (engine: Engine, load: Load) =>
      Math.max(
        0,
        ...of(engine, engine.not(engine.shorted()))
          .map((state) => engine.solve(state).loadWatts[load.id]!)
          .filter((w) => !Number.isNaN(w)),
      );
    const watts = [most(one, x), most(two, y)] as const;
    const other = differs(...watts);
    const follows = new Set([a, b].flatMap(({ controls }) => controls.flatMap((c) => (c.settled ? [c.name] : []))));
    const kept = CLASSES.every((classes) => {
      const now = two.when(y.id, classes);
      return of(one, one.when(x.id, classes)).every(
        (state) => agrees(one, state, now, idle) || !agrees(one, state, two.all(), follows),
      );
    });
    if (lost && kept) unmissed.push(x.name);
    if (gained || lost || other) loads.set(x.name, { gained, lost, ...(other ? { watts } : {}) });
  }

  const protection: string[] = [];
  for (const [p, q] of paired(a.contacts, b.contacts)) {
    if ((p ?? q)!.role === "switching") continue;
    for (const [x, y] of paired(a.loads, b.loads)) {
      if (!x || !y || empty(energised(one, x)) || empty(energised(two, y))) continue;
      const always = (engine: Engine, contact: Contact | undefined, load: Load) =>
        contact !== undefined &&
        of(engine, energised(engine, load)).every((state) => engine.has(engine.inSeries(contact.id, load.id), state));
      const [before, after] = [always(one, p, x), always(two, q, y)];
      if (before !== after) protection.push(`${(p ?? q)!.name} ${x.name} ${before ? "lost" : "gained"}`);
    }
  }

  const guards: string[] = [];
  for (const guard of a.guards) {
    const name = (machine: Machine, { part, hazard }: Guard) => `${machine.parts[part]!.name} ${hazard}`;
    const other = b.guards.find((each) => name(b, each) === name(a, guard));
    if (!other) {
      // Where nothing of the part works any more, there is nothing left to guard.
      const left = b.parts.find((part) => part.name === a.parts[guard.part]!.name);
      if (left?.loads.some((id) => !empty(energised(two, b.loads[id]!)))) guards.push(`${name(a, guard)} defeated`);
      continue;
    }
    const open = (engine: Engine, each: Guard): Region => {
      const on = each.loads
        .map((load) => engine.when(load, CLASSES[0]!))
        .reduce((p, q) => engine.or(p, q), engine.none());
      const off = engine.and(on, engine.not(engine.where(each.holds)));
      return each.only ? engine.and(off, engine.where(each.only)) : off;
    };
    const [before, after] = [open(one, guard), open(two, other)];
    if (beyond(after, before)) guards.push(`${name(a, guard)} defeated`);
    else if (empty(after) && !empty(before)) guards.push(`${name(a, guard)} mended`);
  }

  const contacts = new Map<string, Amounts>();
  for (const [x, y] of paired(a.contacts, b.contacts))
    for (const act of ["carries", "makes", "breaks"] as const) {
      const worst = (engine: Engine, contact: Contact | undefined) =>
        contact && (engine.extreme({ of: act, contact: contact.id }, engine.all()).largest?.value ?? 0);
      const amounts = [worst(one, x), worst(two, y)] as const;
      if (differs(amounts[0] ?? 0, amounts[1] ?? 0)) contacts.set(`${(y ?? x)!.name} ${act}`, amounts);
    }

  const conductors = new Map<string, Amounts>();
  const sized = (engine: Engine): Map<string, number> => {
    const most = new Map<string, number>();
    for (const { id, kind, sizeText, insulation } of engine.circuit.machine.wires) {
      if (kind !== "wire" || sizeText === undefined) continue;
      const size = [sizeText, ...(insulation === undefined ? [] : [`${insulation} C`])].join(" ");
      const { controls } = engine.circuit.machine;
      const hums = (state: MachineState) =>
        controls.some(({ id: control, role }) => role === "motor" && state[control] === 1);
      most.set(size, most.get(size) ?? 0);
      for (const state of of(engine, engine.not(engine.shorted()))) {
        const side = nearSide(engine.circuit.machine, id);
        const amps = side && !hums(state) ? currentOutOf(engine.solve(state), side) : 0;
        most.set(size, Math.max(most.get(size) ?? 0, Number.isNaN(amps) ? 0 : amps));
      }
    }
    return most;
  };
  const [thin, thick] = [sized(one), sized(two)];
  for (const size of new Set([...thin.keys(), ...thick.keys()]))
    if (differs(thin.get(size) ?? 0, thick.get(size) ?? 0)) conductors.set(size, [thin.get(size), thick.get(size)]);

  // With the same inputs (what does not follow from the circuit) the base had it off and on, and now it is never off.
  const inputsOf = ({ controls }: Machine) => controls.filter(({ settled }) => !settled).map(({ name }) => name);
  const shared = inputsOf(a).filter((name) => inputsOf(b).includes(name));
  const key = (machine: Machine, state: MachineState, names: readonly string[]) =>
    names.map((name) => named(machine, state).get(name)).join("|");
  const selfStarts = paired(a.loads, b.loads).flatMap(([x, y]) => {
    if (!x || !y || !(y.kind === "heater" || (y.kind === "winding" && b.parts[y.part]!.kind === "motor"))) return [];
    const keys = (engine: Engine, region: Region, names: readonly string[]) =>
      new Set(of(engine, region).map((state) => key(engine.circuit.machine, state, names)));
    const [on, off] = [energised(one, x), one.not(energised(one, x))].map((region) => keys(one, region, shared));
    const offNow = keys(two, two.not(energised(two, y)), inputsOf(b));
    const starts = of(two, two.all()).some((state) => {
      const before = key(b, state, shared);
      return on!.has(before) && off!.has(before) && !offNow.has(key(b, state, inputsOf(b)));
    });
    const rests = (engine: Engine, load: Load) =>
      of(engine, energised(engine, load)).some((state) =>
        engine.circuit.machine.controls.every(({ id, settled, rest }) => settled || state[id] === rest),
      );
    return starts || (rests(two, y) && !rests(one, x)) ? [y.name] : [];
  });

  // What ran whenever something heated, and does not always now, unless something new does.
  const lostAir = paired(a.loads, b.loads).flatMap(([fan, now]) => {
    if (fan?.kind !== "fan") return [];
    const always = (engine: Engine, heater: Load, blower: Load | undefined) =>
      of(engine, energised(engine, heater)).every(
        (state) => blower !== undefined && engine.has(engine.when(blower.id, CLASSES[1]!), state),
      );
    const heaters = paired(a.loads, b.loads).flatMap(([x, y]) => {
      if (x?.kind !== "heater" || y?.kind !== "heater" || empty(energised(one, x))) return [];
      const added = b.loads.filter(({ kind, name }) => kind === "fan" && !a.loads.some((each) => each.name === name));
      const lost = always(one, x, fan) && ![now, ...added].some((each) => always(two, y, each));
      return lost ? [y.name] : [];
    });
    return heaters.length > 0 ? [`${fan.name} ${heaters.join(" ")}`] : [];
  });

  const tied = (machine: Machine, contact: Contact) => joined(machine, contact.a, contact.b);
  const bridged = paired(a.contacts, b.contacts).flatMap(([x, y]) =>
    x && y && !tied(a, x) && tied(b, y) ? [y.name] : [],
  );
  return {
    bridged,
    selfStarts,
    short: beyond(two.shorted(), one.shorted()),
    guards,
    protection,
    come,
    lostAir,
    loads,
    unmissed,
    contacts,
    conductors,
  };
}

/** Names of what follows from the circuit and moves nothing in either machine, as a valve's seat: it tells no two states of a load apart. */
export function idleIn(machines: readonly Machine[]): ReadonlySet<string> {
  const idle = new Set(
    machines.flatMap(({ controls }) => controls.flatMap(({ settled, name }) => (settled ? [name] : []))),
  );
  for (const { controls, contacts, loads } of machines) {
    for (const clause of [...contacts.map(({ closed }) => closed), ...controls.map(whatItFollows)].flat())
      for (const { control } of clause) idle.delete(controls[control]!.name);
    for (const { control } of loads) if (control !== undefined) idle.delete(controls[control]!.name);
  }
  return idle;
}

function whatItFollows({ rule, changes = [] }: Control): Condition {
  const latch = rule?.rule === "latch" ? [...rule.sets, ...rule.clears] : [];
  return [...latch, ...changes.flatMap(({ when = [] }) => when)];
}

function named(machine: Machine, state: MachineState): ReadonlyMap<string, string> {
  return new Map(machine.controls.map(({ id, name, positions }) => [name, positions[state[id]!]!.name]));
}

function paired<T extends { readonly name: string }>(
  a: readonly T[],
  b: readonly T[],
): [T | undefined, T | undefined][] {
  const names = [...new Set([...a, ...b].map(({ name }) => name))];
  return names.map((name) => [a.find((each) => each.name === name), b.find((each) => each.name === name)]);
}

/** Half a percent: less than any meter of the trade tells apart. */
export function differs(a: number, b: number): boolean {
  return Math.abs(a - b) > 5e-3 * Math.max(1e-3, a, b);
}

/** Whether wires lead from one terminal to the other. */
function joined({ wires }: Machine, from: number, to: number): boolean {
  const seen = new Set([from]);
  for (const at of seen)
    for (const { a, b } of wires) {
      if (a === at) seen.add(b);
      if (b === at) seen.add(a);
    }
  return seen.has(to);
}
