/** Compares two engines on every question that can be asked of a machine. Throws at the first difference. */
import { toEnd } from "../../server/base/to-end.ts";
import { buildCircuit } from "../../server/circuit/build.ts";
import type { Circuit } from "../../server/circuit/circuit.ts";
import type { Condition, LoadId, Machine, MachineState } from "../../server/machine/machine.ts";
import type { Engine, EngineRun, Extreme, LoadClass, Quantity, Region } from "../../server/states/engine.ts";
import { type ExactOptions, makeExactEngine } from "../../server/states/exact/exact-engine.ts";
import { makePlainEngine } from "../oracle/engine.ts";
import { inputMoves } from "../oracle/input-moves.ts";
import { OFF } from "../oracle/load-class.ts";
import { Looks } from "../oracle/looks.ts";
import { sharedCurrent } from "../oracle/shares.ts";
import { leadsTo } from "../oracle/stroll.ts";
import { disagreeing } from "../oracle/target.ts";
import { currentOutOf, nearSide } from "../oracle/wires.ts";

export { toEnd as finish };

export function plainEngine(machine: Machine): Engine {
  return toEnd(makePlainEngine(buildCircuit(machine)) as EngineRun);
}

export function exactEngine(machine: Machine, options: ExactOptions = {}): Engine {
  return toEnd(makeExactEngine(buildCircuit(machine), options));
}

export function enginesOf(machine: Machine): { plain: Engine; exact: Engine } {
  return { plain: plainEngine(machine), exact: exactEngine(machine) };
}

/** Every state of the machine; for small ones. */
export function everyState(machine: Machine): MachineState[] {
  let states: number[][] = [[]];
  for (const { positions } of machine.controls) states = states.flatMap((s) => positions.map((_, p) => [...s, p]));
  return states.map((state) => Uint8Array.from(state));
}

export const CLASSES: readonly LoadClass[] = ["off", "weak", "works", "over"];

export function differ(what: string, detail: unknown): never {
  throw new Error(`${what}: ${JSON.stringify(detail)}`);
}

/** The same states, as many of them, and a state told that is one of them. */
export function same(
  plain: Engine,
  exact: Engine,
  states: readonly MachineState[],
  what: string,
  a: Region,
  b: Region,
): void {
  for (const state of states)
    if (plain.has(a, state) !== exact.has(b, state))
      differ(what, { state: [...state], plain: plain.has(a, state), exact: exact.has(b, state) });
  if (plain.count(a) !== exact.count(b)) differ(`${what} count`, [plain.count(a), exact.count(b)]);
  if (plain.isEmpty(a) !== exact.isEmpty(b)) differ(`${what} empty`, 0);
  const witness = exact.witness(b);
  if (witness === undefined ? !exact.isEmpty(b) : !plain.has(a, witness)) differ(`${what} witness`, witness);
}

export function compareRegions(plain: Engine, exact: Engine, states: readonly MachineState[]): void {
  const { machine } = plain.circuit;
  same(plain, exact, states, "all", plain.all(), exact.all());
  // Beyond those that can be reached nothing is left: as many states of each are counted.
  const reachable = states.filter((state) => plain.has(plain.all(), state));
  const both = (what: string, a: Region, b: Region): void => same(plain, exact, reachable, what, a, b);
  both("shorted", plain.shorted(), exact.shorted());
  for (const load of machine.loads)
    for (const one of CLASSES) both(`${load.name} ${one}`, plain.when(load.id, [one]), exact.when(load.id, [one]));
  for (const contact of machine.contacts) {
    both(`closed ${contact.name}`, plain.closed(contact.id), exact.closed(contact.id));
    for (const load of machine.loads)
      both(
        `${contact.name} in series with ${load.name}`,
        plain.inSeries(contact.id, load.id),
        exact.inSeries(contact.id, load.id),
      );
  }
  for (const terminal of machine.terminals)
    machine.supply.legs.forEach((_, leg) => {
      both(`tied ${terminal.name} ${leg}`, plain.tied(terminal.id, leg), exact.tied(terminal.id, leg));
    });
}

/** Of so many paths one is gone, change by change; the length of each is compared. */
const REPLAYED = 4;

export function comparePaths(plain: Engine, exact: Engine, states: readonly MachineState[]): void {
  const looks = looksOf(plain.circuit);
  for (const [k, state] of states.entries()) {
    // The plain walk goes breadth first: its number of moves is the least.
    const a = plain.pathTo(state);
    const b = exact.pathTo(state);
    if (a?.length !== b?.length) differ("path", { state: [...state], plain: a, exact: b });
    if (b !== undefined && k % REPLAYED === 0 && !leadsTo(looks, b, state))
      differ("path leads elsewhere", { state: [...state], exact: b });
  }
  const sets = (engine: Engine) =>
    engine
      .chatters()
      .map(({ controls }) => controls.join(" "))
      .sort()
      .join("; ");
  if (sets(plain) !== sets(exact)) differ("chatters", [sets(plain), sets(exact)]);
}

export function holds(condition: Condition, state: MachineState): boolean {
  return condition.some((term) => term.every((literal) => literal.positions[state[literal.control]!] === 1));
}

/** The statement expanded back over all states, and that nothing can be left out of it; the same by inputs alone. */
export function checkStatement(
  plain: Engine,
  exact: Engine,
  region: readonly [Region, Region],
  states: readonly MachineState[],
): void {
  const reachable = states.filter((state) => plain.has(plain.all(), state));
  const inside = reachable.map((state) => plain.has(region[0], state));
  const whole = exact.statement(region[1]);
  const inWords = (said: Condition | undefined) => said?.map((term) => JSON.stringify(term)).sort();
  const idle = idleControls(plain.circuit.machine);
  const moving = (state: MachineState): string => state.filter((_, control) => !idle.has(control)).join();
  const toldApart = new Set(reachable.flatMap((state, k) => (inside[k] ? [moving(state)] : [])));
  const withoutIdle = idle.size > 0 && reachable.every((state, k) => inside[k] === toldApart.has(moving(state)));
  // For people: without what only follows, wherever the rest tells the states apart, and without positions that never occur.
  const readable = exact.statementWithin!(region[1], Infinity)!;
  if (readable.flat().some(({ control }) => withoutIdle && idle.has(control))) differ("told by what follows", readable);
  irredundant(
    readable,
    (said) => reachable.every((state, k) => holds(said, state) === inside[k]),
    (term) => reachable.some((state) => holds([term], state)),
  );
  const most = readable.length;
  for (const ways of most > 1 ? [most - 1, most] : [most]) {
    const said = inWords(exact.statementWithin!(region[1], ways));
    const right = inWords(ways < most ? undefined : readable);
    if (said?.join() !== right?.join()) differ(`statement within ${ways} ways`, { said, right });
  }
  irredundant(whole, (said) => reachable.every((state, k) => holds(said, state) === inside[k]));

  const { controls } = plain.circuit.machine;
  const inputsOf = (state: MachineState): string => state.filter((_, control) => !controls[control]!.settled).join();
  const can = new Set(reachable.flatMap((state, k) => (inside[k] ? [inputsOf(state)] : [])));
  const byInputs = exact.statementByInputs!(region[1], Infinity)!;
  const named = byInputs.condition.flat().filter(({ control }) => controls[control]!.settled);
  if (named.length > 0) differ("a settled control in a statement by inputs", byInputs);
  irredundant(
    byInputs.condition,
    (said) => reachable.every((state) => holds(said, state) === can.has(inputsOf(state))),
    (term) => reachable.some((state) => holds([term], state)),
  );
  if (byInputs.decides !== reachable.every((state, k) => inside[k] === can.has(inputsOf(state))))
    differ("whether the inputs decide", byInputs);
}

/** Controls that follow the circuit while nothing follows them: worked out here as well, so that the two do not share a mistake. */
function idleControls({ controls, contacts, loads }: Machine): ReadonlySet<number> {
  const followed = new Set<number>(loads.flatMap(({ control }) => (control === undefined ? [] : [control])));
  const note = (condition: Condition) => condition.flat().forEach(({ control }) => void followed.add(control));
  for (const { closed } of contacts) note(closed);
  for (const { changes, rule } of controls) {
    for (const { when } of changes ?? []) note(when ?? []);
    if (rule?.rule === "latch") note([...rule.sets, ...rule.clears]);
  }
  return new Set(controls.flatMap(({ id, settled }) => (settled && !followed.has(id) ? [id] : [])));
}

/** Right, and nothing can be left out or widened by what is possible. */
function irredundant(
  said: Condition,
  right: (condition: Condition) => boolean,
  possible: (term: Condition[number]) => boolean = () => true,
): void {
  if (!right(said)) differ("statement", said);
  said.forEach((term, t) => {
    if (right(said.filter((_, k) => k !== t))) differ("needless AND", said);
    term.forEach((literal, l) => {
      if (right(said.map((one, k) => (k === t ? one.filter((_, m) => m !== l) : one))))
        differ("needless literal", said);
      literal.positions.forEach((on, p) => {
        if (on === 1) return;
        const alone = { control: literal.control, positions: literal.positions.map((_, q) => (q === p ? 1 : 0)) };
        if (!possible(term.map((old, m) => (m === l ? alone : old)))) return;
        const positions = literal.positions.slice();
        positions[p] = 1;
        const wider = { control: literal.control, positions };
        if (right(said.map((one, k) => (k === t ? one.map((old, m) => (m === l ? wider : old)) : one))))
          differ("position can be added", said);
      });
    });
  });
}

export const near = (a: number | undefined, b: number | undefined): boolean =>
  a === b || (a !== undefined && b !== undefined && Math.abs(a - b) <= 1e-6 * Math.max(1, Math.abs(a)));

/** The value read off the state that an extreme shows, by solving just that state. */
export function valueShown({ circuit }: Engine, quantity: Quantity, { state, before }: Extreme): number {
  const looks = looksOf(circuit);
  const look = looks.of(state);
  const { solution } = look;
  const size = (phasors: { re: Float64Array; im: Float64Array }, i: number): number =>
    Math.hypot(phasors.re[i]!, phasors.im[i]!);
  switch (quantity.of) {
    case "load-volts":
      return look.classes[quantity.load] === OFF && size(solution.loadAmps, quantity.load) === 0
        ? 0
        : size(solution.loadVolts, quantity.load);
    case "load-amps":
      return size(solution.loadAmps, quantity.load);
    case "load-watts":
      return solution.loadWatts[quantity.load]!;
    case "carries":
      return size(solution.contactAmps, quantity.contact);
    case "leg-amps":
      return size(solution.legAmps, quantity.leg);
    case "wire-amps":
      return currentOutOf(solution, nearSide(circuit.machine, quantity.wire)!);
    case "breaks":
      return size(looks.of(before!).solution.contactAmps, quantity.contact);
    case "breaks-volts": {
      const { joints } = solution;
      const a = circuit.contactA[quantity.contact]!;
      const b = circuit.contactB[quantity.contact]!;
      return Math.hypot(joints.re[a]! - joints.re[b]!, joints.im[a]! - joints.im[b]!);
    }
    case "makes": {
      const then = looks.of(before!).classes;
      const starting = circuit.machine.loads.flatMap(({ id }) =>
        look.classes[id] !== OFF && then[id] === OFF ? [id] : [],
      );
      return size(looks.inrush(look, starting).contactAmps, quantity.contact);
    }
  }
}

/** One single change: of an input in a state at rest that can be reached, or of a control that settles. */
function isStep(looks: Looks, plain: Engine, before: MachineState, after: MachineState): boolean {
  const [control, ...more] = [...before.keys()].filter((one) => before[one] !== after[one]);
  if (control === undefined || more.length > 0) return false;
  const look = looks.of(before);
  const settling = disagreeing(plain.circuit, before, look);
  if (settling.length > 0) return settling.some((one) => one.control === control && one.target === after[control]);
  return (
    plain.has(plain.all(), before) &&
    inputMoves(plain.circuit.machine, before, look.classes).some(
      (move) => move.control.id === control && move.position === after[control],
    )
  );
}

const known = new WeakMap<Circuit, Looks>();

/** Solutions of single states of a machine, kept. */
function looksOf(circuit: Circuit): Looks {
  let looks = known.get(circuit);
  if (looks === undefined) known.set(circuit, (looks = new Looks(circuit)));
  return looks;
}

/**
 * Shares of some loads in what contacts carry, make and break. Where contacts share a current in some state, the engine superposes and the
 * plain walk says only what it can be at most; nothing may be above that, and nothing below what is told.
 */
export function compareShares(
  plain: Engine,
  exact: Engine,
  care: readonly [Region, Region],
  loads: readonly LoadId[],
): void {
  const { circuit } = plain;
  for (const { id } of circuit.machine.contacts)
    for (const of of ["carries", "makes", "breaks"] as const) {
      const quantity: Quantity = { of, contact: id, loads };
      const a = plain.extreme(quantity, care[0]).largest;
      const b = exact.extreme(quantity, care[1]).largest;
      if ((a === undefined) !== (b === undefined) || !(b === undefined || b.value <= a!.value * (1 + 1e-6) + 1e-6))
        differ("share", { quantity, plain: a, exact: b });
      if (a === undefined || near(a.value, b!.value)) continue;
      const flowing = of === "breaks" ? a.before! : a.state;
      const closed = Uint8Array.from(circuit.machine.contacts, (one) => (holds(one.closed, flowing) ? 1 : 0));
      if (sharedCurrent(looksOf(circuit).of(flowing).solution, closed, id, loads).told)
        differ("share", { quantity, plain: a, exact: b });
    }
}

/** Everything of a machine that has extremes. */
export function quantitiesOf(machine: Machine): Quantity[] {
  return [
    ...machine.loads.flatMap(({ id }) =>
      (["load-volts", "load-amps", "load-watts"] as const).map((of) => ({ of, load: id })),
    ),
    ...machine.contacts.flatMap(({ id }) =>
      (["carries", "makes", "breaks", "breaks-volts"] as const).map((of) => ({ of, contact: id })),
    ),
    ...machine.supply.legs.map((_, leg) => ({ of: "leg-amps" as const, leg })),
    ...machine.wires.map(({ id }) => ({ of: "wire-amps" as const, wire: id })),
  ];
}

export function compareExtremes(plain: Engine, exact: Engine, care: readonly [Region, Region]): void {
  for (const quantity of quantitiesOf(plain.circuit.machine)) {
    const a = plain.extreme(quantity, care[0]);
    const b = exact.extreme(quantity, care[1]);
    if (!near(a.smallest?.value, b.smallest?.value) || !near(a.largest?.value, b.largest?.value) || a.exact !== b.exact)
      differ("extreme", { quantity, plain: a, exact: b });
    if (quantity.of === "carries" || quantity.of === "makes" || quantity.of === "breaks") {
      const most = exact.atMost!(quantity);
      if (!((a.largest?.value ?? 0) <= most * (1 + 1e-9) + 1e-9))
        differ("more than what is told as the most", { quantity, plain: a, most });
    }
    for (const shown of [b.smallest, b.largest]) {
      if (shown === undefined) continue;
      if (!near(valueShown(plain, quantity, shown), shown.value)) differ("state shown", { quantity, shown });
      if (shown.before === undefined) {
        if (!plain.has(care[0], shown.state)) differ("a state that was not asked about", { quantity, shown });
      } else if (!isStep(looksOf(plain.circuit), plain, shown.before, shown.state))
        differ("no step", { quantity, shown });
    }
  }
}
