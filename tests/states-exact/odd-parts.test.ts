/**
 * The exact engine against the plain walk on machines with the parts that random machines of contacts and loads leave out:
 * contacts of some ohms, triacs that leak, transformers, loads without ohms, a 120/208 V supply, a protective leg.
 */
import * as fc from "fast-check";
import { test } from "vitest";
import type { Machine, Transformer } from "../../server/machine/machine.ts";
import { describeMachine } from "../support/machine-writer.ts";
import { randomMachines, SMALL } from "../support/random-machine.ts";
import { compareExtremes, comparePaths, compareRegions, enginesOf, everyState } from "./compare.ts";

const RUNS = Math.ceil(Number(process.env.RUNS ?? 5000) / 10);

interface Oddity {
  readonly kind: "ohms" | "much ohms" | "leaks" | "transformer" | "no ohms" | "wye" | "protective";
  readonly at: number;
  readonly to: number;
}

const oddities = fc.array(
  fc.record<Oddity>({
    kind: fc.constantFrom("ohms", "much ohms", "leaks", "transformer", "no ohms", "wye", "protective"),
    at: fc.nat(30),
    to: fc.nat(30),
  }),
  { minLength: 1, maxLength: 3 },
);

function withOddity(machine: Machine, { kind, at, to }: Oddity): Machine {
  const { contacts, loads, terminals, supply } = machine;
  const contact = at % Math.max(1, contacts.length);
  const load = at % Math.max(1, loads.length);
  const point = (n: number): number => n % terminals.length;
  switch (kind) {
    case "ohms":
    case "much ohms":
      return {
        ...machine,
        contacts: contacts.map((one) => (one.id === contact ? { ...one, ohms: kind === "ohms" ? 0.05 : 20 } : one)),
      };
    case "leaks":
      return { ...machine, contacts: contacts.map((one) => (one.id === contact ? { ...one, leaks: 0.001 } : one)) };
    case "no ohms":
      return {
        ...machine,
        loads: loads.map((one) =>
          one.id === load && one.control === undefined
            ? { ...one, impedance: [{ re: 0, im: 0 }], inrush: undefined }
            : one,
        ),
      };
    case "transformer": {
      const transformer: Transformer = {
        part: 0,
        primary: [point(at), point(to + 1)],
        secondary: [point(to), point(at + 2)],
        ratio: 5,
        series: { re: 2, im: 1 },
        magnetising: { re: 50, im: 900 },
        place: supply.place,
      };
      return { ...machine, transformers: [...machine.transformers, transformer] };
    }
    case "wye":
      return {
        ...machine,
        supply: {
          ...supply,
          legs: supply.legs.map((leg) => (leg.name === "L2" ? { ...leg, volts: { re: -60, im: 103.923 } } : leg)),
        },
      };
    case "protective": {
      const terminal = 3 + (at % Math.max(1, terminals.length - 3));
      if (terminal >= terminals.length || supply.legs.some((leg) => leg.terminal === terminal)) return machine;
      const leg = { name: "PE", terminal, volts: { re: 0, im: 0 }, role: "protective" as const };
      return { ...machine, supply: { ...supply, legs: [...supply.legs, leg] } };
    }
  }
}

/** Questions that MEANING.md leaves to the solver's own rules are told as not covered, and then not compared. */
function isTold(exact: { covered(): { complete: boolean } }): boolean {
  return exact.covered().complete;
}

test("machines with odd parts", () => {
  fc.assert(
    fc.property(randomMachines(SMALL), oddities, (plainMachine, odd) => {
      const machine = odd.reduce(withOddity, plainMachine);
      try {
        const { plain, exact } = enginesOf(machine);
        if (!isTold(exact)) return;
        const states = everyState(machine);
        compareRegions(plain, exact, states);
        comparePaths(
          plain,
          exact,
          states.filter((_, k) => k % 5 === 0),
        );
        compareExtremes(plain, exact, [plain.all(), exact.all()]);
      } catch (error) {
        throw new Error(`${(error as Error).message}\n${JSON.stringify(odd)}\n${describeMachine(machine)}`);
      }
    }),
    { numRuns: RUNS },
  );
}, 600_000);
