/**
 * "Which loads' energised regions differ" against brute force: the plain walk (tests/oracle) lists every reachable state of both
 * machines, and a load has changed when the two lists of states with it energised are not the same.
 */
import * as fc from "fast-check";
import { expect, test } from "vitest";
import { type Edit, edit } from "../../server/machine/edit.ts";
import type { Machine } from "../../server/machine/machine.ts";
import { differenceOf, isEmptyDifference } from "../../server/proposals/difference.ts";
import { enginesOf, everyState, exactEngine, finish } from "../states-exact/compare.ts";
import { describeMachine } from "../support/machine-writer.ts";
import { randomMachines, SMALL } from "../support/random-machine.ts";

const RUNS = Math.ceil(Number(process.env.RUNS ?? 5000) / 25);

const rewires = fc.array(
  fc.record({
    kind: fc.constantFrom("jumper" as const, "open" as const, "weld" as const),
    x: fc.nat(60),
    y: fc.nat(60),
  }),
  { minLength: 1, maxLength: 2 },
);

function rewired(
  machine: Machine,
  drawn: readonly { kind: "jumper" | "open" | "weld"; x: number; y: number }[],
): Machine {
  const edits = drawn.map(({ kind, x, y }): Edit => {
    const contact = x % Math.max(1, machine.contacts.length);
    if (kind === "jumper" || machine.contacts.length === 0)
      return { edit: "join", a: x % machine.terminals.length, b: y % machine.terminals.length };
    return { edit: "change-contact", contact, closed: kind === "open" ? [] : [[]] };
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
      const expected = base.loads.flatMap(({ id, name }) => {
        const full = (["energised", "full", "over"] as const).some((which) => {
          const classes = { energised: ["weak", "works", "over"], full: ["works", "over"], over: ["over"] } as const;
          const [a, b] = [one.plain.when(id, classes[which]), two.plain.when(id, classes[which])];
          return states.some((state) => one.plain.has(a, state) !== two.plain.has(b, state));
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
