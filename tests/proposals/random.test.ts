/**
 * "Which loads' energised regions differ" against brute force: the plain walk (tests/oracle) lists every reachable state of both
 * machines, and a load has changed when the two lists of states with it energised are not the same, in what moves anything.
 */
import * as fc from "fast-check";
import { expect, test } from "vitest";
import { type Edit, edit } from "../../server/machine/edit.ts";
import type { Machine, MachineState } from "../../server/machine/machine.ts";
import { differenceOf, isEmptyDifference } from "../../server/proposals/difference.ts";
import type { Engine, Region } from "../../server/states/engine.ts";
import { enginesOf, everyState, exactEngine, finish } from "../states-exact/compare.ts";
import { describeMachine } from "../support/machine-writer.ts";
import { randomMachines, SMALL } from "../support/random-machine.ts";
import { idleIn } from "./oracle-difference.ts";

const RUNS = Math.ceil(Number(process.env.RUNS ?? 5000) / 25);

/** What proposals do: leads put in, wires taken out or moved, loads moved to other points or of other values, contacts stuck. */
const kinds = ["jumper", "open", "weld", "remove-wire", "move-wire", "move-load", "other-load"] as const;

const rewires = fc.array(fc.record({ kind: fc.constantFrom(...kinds), x: fc.nat(60), y: fc.nat(60) }), {
  minLength: 1,
  maxLength: 2,
});

function rewired(machine: Machine, drawn: readonly { kind: (typeof kinds)[number]; x: number; y: number }[]): Machine {
  const { terminals, contacts, wires, loads } = machine;
  const edits = drawn.map(({ kind, x, y }): Edit => {
    const jumper: Edit = { edit: "join", a: x % terminals.length, b: y % terminals.length };
    const wire = wires[x % Math.max(1, wires.length)];
    const load = loads[x % Math.max(1, loads.length)];
    switch (kind) {
      case "open":
      case "weld":
        return contacts.length === 0
          ? jumper
          : { edit: "change-contact", contact: x % contacts.length, closed: kind === "open" ? [] : [[]] };
      case "remove-wire":
        return wire ? { edit: "remove-wire", wire: wire.id } : jumper;
      case "move-wire":
        return wire ? { edit: "move-wire-end", wire: wire.id, from: wire.b, to: y % terminals.length } : jumper;
      case "move-load":
        return load ? { edit: "move-load", load: load.id, a: load.a, b: y % terminals.length } : jumper;
      case "other-load":
        return load ? { edit: "change-load", load: load.id, impedance: { re: 10 + 5 * y, im: 0 } } : jumper;
      default:
        return jumper;
    }
  });
  return edit(machine, edits);
}

/** Names of parts of the random machines are not unique by themselves. */
function named(machine: Machine): Machine {
  return {
    ...machine,
    loads: machine.loads.map((load) => ({ ...load, name: `load${load.id}` })),
    contacts: machine.contacts.map((contact) => ({ ...contact, name: `contact${contact.id}` })),
    controls: machine.controls.map((control) => ({ ...control, name: `control${control.id}` })),
  };
}

test("loads whose energised states differ are those of the brute-force lists", () => {
  let changed = 0;
  fc.assert(
    fc.property(randomMachines(SMALL), rewires, (drawn, edits) => {
      const base = named(drawn);
      const after = rewired(base, edits);
      const [one, two] = [enginesOf(base), enginesOf(after)];
      const states = everyState(base);
      const idle = idleIn([base, after]);
      const key = (state: MachineState) => state.filter((_, id) => !idle.has(base.controls[id]!.name)).join();
      const keysOf = (engine: Engine, region: Region) =>
        new Set(states.filter((state) => engine.has(region, state)).map(key));
      const expected = base.loads.flatMap(({ id, name }) => {
        const full = (["energised", "full", "over"] as const).some((which) => {
          const classes = { energised: ["weak", "works", "over"], full: ["works", "over"], over: ["over"] } as const;
          const [a, b] = [one.plain.when(id, classes[which]), two.plain.when(id, classes[which])];
          const [before, now] = [a, b].map((region, at) => keysOf([one.plain, two.plain][at]!, region));
          return states.some((state) => before!.has(key(state)) !== now!.has(key(state)));
        });
        return full ? [name] : [];
      });
      const side = (engine: typeof one.exact) => ({ engine, findings: [] });
      const difference = finish(differenceOf(side(one.exact), side(two.exact)));
      const told = difference.loads.filter(({ gained, lost }) => gained || lost).map(({ load }) => load.split(" ")[0]);
      if (told.join() !== expected.join())
        throw new Error(`told ${told}, expected ${expected}\n${describeMachine(base)}\n${describeMachine(after)}`);
      if (expected.length > 0) changed++;
    }),
    { numRuns: RUNS },
  );
  // The property would mean little if no rewire ever changed anything.
  expect(changed).toBeGreaterThan(RUNS / 10);
});

test("a machine against itself differs in nothing", () => {
  fc.assert(
    fc.property(randomMachines(SMALL), (drawn) => {
      const machine = named(drawn);
      const side = () => ({ engine: exactEngine(machine), findings: [] });
      expect(isEmptyDifference(finish(differenceOf(side(), side())))).toBe(true);
    }),
    { numRuns: RUNS },
  );
});
