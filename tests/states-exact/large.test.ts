/**
 * Machines of 20 to 40 inputs, far too many states for any walk. A random stroll (tests/oracle/stroll.ts: the plain walk's own settling)
 * sees a few of them; nothing seen may be outside what the exact engine tells of every state: reachable sets, classes, contacts,
 * statements in words, shortest paths, smallest and largest values. `RUNS` and `SEED` in the environment widen the search.
 */
import * as fc from "fast-check";
import { expect, test } from "vitest";
import type { Machine } from "../../server/machine/machine.ts";
import type { Engine, Quantity, Region } from "../../server/states/engine.ts";
import { generatedMachine, randomNumbers } from "../bench/generated-machine.ts";
import { contactSteps, type SteadyQuantity, steadyValue } from "../oracle/extremes.ts";
import { leadsTo, type Seen, Stroll } from "../oracle/stroll.ts";
import { nearSide } from "../oracle/wires.ts";
import { describeMachine } from "../support/machine-writer.ts";
import { LARGE, randomMachines } from "../support/random-machine.ts";
import { CLASSES, exactEngine, holds, valueShown } from "./compare.ts";

const RUNS = Math.ceil(Number(process.env.RUNS ?? 5000) / 80);
const SEED = process.env.SEED === undefined ? {} : { seed: Number(process.env.SEED) };
const MOVES = 120;
/** So many contacts and loads of each machine have their statements read. */
const STATEMENTS = 4;
/** After so many moves the shortest path is compared with the way come. */
const PATHS = [3, 6];

/** How much was looked at, so that a check which sees nothing does not pass for one. */
const seenOf = { machines: 0, moves: 0, energised: 0, extremes: 0, reached: 0, bounds: 0, paths: 0, notWhole: 0 };

/** Smallest and largest value seen of each quantity. */
class Observed {
  readonly #ranges = new Map<string, { readonly quantity: Quantity; least: number; most: number }>();

  see(quantity: Quantity, value: number | undefined): void {
    if (value === undefined || Number.isNaN(value)) return;
    const key = Object.values(quantity).join(" ");
    const range = this.#ranges.get(key);
    if (range === undefined) this.#ranges.set(key, { quantity, least: value, most: value });
    else {
      range.least = Math.min(range.least, value);
      range.most = Math.max(range.most, value);
    }
  }

  /** Every range seen lies within what the engine tells. */
  check(engine: Engine): void {
    for (const { quantity, least, most } of this.#ranges.values()) {
      const told = engine.extreme(quantity, engine.all());
      const slack = 1e-6 * Math.max(1, most);
      const bound = told.exact ? told.largest?.value : (told.bound ?? Number.POSITIVE_INFINITY);
      const fail = (why: string): never => {
        throw new Error(`${why}: ${JSON.stringify({ quantity, least, most, told })}`);
      };
      if (bound === undefined || most > bound + slack) fail("larger than the largest");
      if (told.exact && least < told.smallest!.value - slack) fail("smaller than the smallest");
      for (const shown of [told.smallest, told.largest])
        if (shown !== undefined && Math.abs(valueShown(engine, quantity, shown) - shown.value) > slack)
          fail("the state shown has another value");
      seenOf.extremes++;
      if (!told.exact) seenOf.bounds++;
      else if (most > told.largest!.value - slack) seenOf.reached++;
    }
  }
}

function look(machine: Machine, seed: number, moves = MOVES): void {
  const engine = exactEngine(machine);
  const { missing } = engine.covered();
  const whole = missing.length === 0;
  if (!whole) seenOf.notWhole++;
  // What can be reached is not sure then: the engine says so, and nothing more can be held against it.
  if (missing.some((words) => /reached/.test(words))) return;
  const random = randomNumbers(seed);
  const stroll = new Stroll(engine.circuit, random);
  const start = stroll.start();
  if (start === undefined) return;
  seenOf.machines++;
  const all = engine.all();
  const classes = machine.loads.map(({ id }) => CLASSES.map((one) => engine.when(id, [one])));
  const closed = machine.contacts.map(({ id }) => engine.closed(id));
  const regions: Region[] = [...machine.loads.map(({ id }) => engine.when(id, ["works", "over"])), ...closed];
  const said = Array.from({ length: STATEMENTS }, () => regions[random(regions.length)]!).map((region) => ({
    region,
    statement: engine.statement(region),
  }));
  const steady: SteadyQuantity[] = [
    ...machine.loads.flatMap(({ id }) =>
      (["load-volts", "load-amps", "load-watts"] as const).map((of) => ({ of, load: id })),
    ),
    ...machine.contacts.map(({ id }) => ({ of: "carries" as const, contact: id })),
    ...machine.supply.legs.map((_, leg) => ({ of: "leg-amps" as const, leg })),
  ];
  const wires = machine.wires.map(({ id }) => ({ of: "wire-amps" as const, wire: id, near: nearSide(machine, id) }));
  const observed = new Observed();

  const atRest = ({ state, look }: Seen): void => {
    const where = (what: string) => `${what} in ${[...state].join(" ")}`;
    if (!engine.has(all, state)) throw new Error(where("not reachable"));
    if (engine.has(engine.shorted(), state) !== look.shorted) throw new Error(where("shorted"));
    look.classes.forEach((loadClass, load) => {
      classes[load]!.forEach((region, one) => {
        const told = engine.has(region, state);
        // A load that was not told apart counts as working: it is never called off while it is not.
        if (whole ? told !== (one === loadClass) : told && one === 0 && loadClass > 0)
          throw new Error(where(`load ${load} ${CLASSES[one]}`));
      });
      if (loadClass > 0) seenOf.energised++;
    });
    look.closed.forEach((on, contact) => {
      if (engine.has(closed[contact]!, state) !== (on === 1)) throw new Error(where(`contact ${contact}`));
    });
    for (const { region, statement } of said)
      if (holds(statement, state) !== engine.has(region, state))
        throw new Error(where(`statement ${JSON.stringify(statement)}`));
    if (look.shorted) return;
    for (const quantity of steady) observed.see(quantity, steadyValue(engine.circuit, look, quantity, undefined));
    for (const { near, ...quantity } of wires)
      if (near !== undefined) observed.see(quantity, steadyValue(engine.circuit, look, quantity, near));
  };

  atRest(start);
  let at = start;
  for (let move = 1; move <= moves; move++) {
    const passed = stroll.move(at);
    if (passed === undefined) break;
    if (passed.length === 0) continue;
    seenOf.moves++;
    for (let k = 1; k < passed.length; k++)
      for (const { contact, makes, breaks, volts } of contactSteps(
        stroll.looks,
        passed[k - 1]!.look,
        passed[k]!.look,
      )) {
        observed.see({ of: "makes", contact }, makes);
        observed.see({ of: "breaks", contact }, breaks);
        observed.see({ of: "breaks-volts", contact }, volts);
      }
    at = passed.at(-1)!;
    atRest(at);
    if (!PATHS.includes(move)) continue;
    const path = engine.pathTo(at.state);
    if (path === undefined || path.length > move) throw new Error(`path of ${path?.length} after ${move} changes`);
    if (!leadsTo(stroll.looks, path, at.state)) throw new Error(`no way: ${path.map(({ words }) => words).join(", ")}`);
    seenOf.paths++;
  }
  observed.check(engine);
}

test("what a stroll through random large machines sees is what the engine tells", () => {
  fc.assert(
    fc.property(randomMachines(LARGE), fc.nat(), (machine, seed) => {
      try {
        look(machine, seed);
      } catch (error) {
        throw new Error(`${(error as Error).message}\n${describeMachine(machine)}`);
      }
    }),
    { numRuns: RUNS, ...SEED },
  );
}, 600_000);

test("and through the machines of the benchmark", () => {
  for (const seed of [1, 6]) look(generatedMachine({ seed, devices: 40 }).machine, seed, 400);
}, 600_000);

test("and it saw a good deal", () => {
  if (process.env.CAMLEAF_TELL) console.log(seenOf);
  expect(seenOf.machines).toBeGreaterThan(RUNS / 2);
  expect(seenOf.notWhole).toBeLessThan(RUNS / 5);
  expect(seenOf.moves).toBeGreaterThan(seenOf.machines * 50);
  expect(seenOf.energised).toBeGreaterThan(seenOf.moves);
  expect(seenOf.paths).toBeGreaterThan(seenOf.machines);
  // Many of the largest values told were come across on the way: they are no idle bounds.
  expect(seenOf.reached).toBeGreaterThan(seenOf.extremes / 3);
});
