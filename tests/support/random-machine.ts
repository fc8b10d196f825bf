/**
 * Random machines for comparing engines. A machine is drawn as a sketch of plain numbers (every number is valid: it is taken
 * modulo what there is), so that fast-check can shrink it freely, and then written out. Circuits are branches from leg to leg
 * with contacts and loads in them, as in an appliance, plus bridges between their inner joints.
 */
import fc from "fast-check";
import type { Machine } from "../../server/machine/machine.ts";
import { type Element, type MachineSketch, type Use, writeMachine } from "./machine-sketch.ts";

/** Largest numbers of things; `states` caps the product of positions. */
export interface MachineSize {
  readonly inputs: number;
  readonly branches: number;
  readonly relays: number;
  readonly motors: number;
  readonly bridges: number;
  readonly states: number;
  /** At least so many of them; else one. */
  readonly leastInputs?: number;
  readonly leastBranches?: number;
}

export const SMALL: MachineSize = { inputs: 4, branches: 3, relays: 2, motors: 1, bridges: 2, states: 512 };
export const MEDIUM: MachineSize = { inputs: 7, branches: 6, relays: 3, motors: 2, bridges: 3, states: 4096 };
/** Far beyond any walk: some 10^9 to 10^16 states. */
export const LARGE: MachineSize = {
  inputs: 40,
  leastInputs: 20,
  branches: 9,
  leastBranches: 6,
  relays: 3,
  motors: 1,
  bridges: 2,
  states: Number.POSITIVE_INFINITY,
};

const use: fc.Arbitrary<Use> = fc.record({ control: fc.nat(30), mask: fc.nat(30) });
const number = fc.nat(30);

const element: fc.Arbitrary<Element> = fc.oneof(
  {
    weight: 5,
    arbitrary: fc.record(
      { type: fc.constant("contact" as const), use, also: use },
      { requiredKeys: ["type", "use"], noNullPrototype: true },
    ),
  },
  { weight: 1, arbitrary: fc.record({ type: fc.constant("changeover" as const), use }, { noNullPrototype: true }) },
  {
    weight: 4,
    arbitrary: fc.record(
      { type: fc.constant("load" as const), ohms: number, kind: number, bypass: use },
      { requiredKeys: ["type", "ohms", "kind"], noNullPrototype: true },
    ),
  },
);
const elements = (most: number): fc.Arbitrary<Element[]> => fc.array(element, { maxLength: most });
const contactsOnly: fc.Arbitrary<Element[]> = fc.array(
  fc.record({ type: fc.constant("contact" as const), use }, { noNullPrototype: true }),
  { maxLength: 2 },
);

/** Sketches of machines up to a size. */
export function machineSketches(size: MachineSize): fc.Arbitrary<MachineSketch> {
  return fc.record(
    {
      supply: fc.constantFrom("120 V" as const, "120/240 V" as const),
      inputs: fc.array(
        fc.record(
          {
            kind: fc.constantFrom(
              "free" as const,
              "free" as const,
              "timer" as const,
              "thermal" as const,
              "level" as const,
              "button" as const,
              "one-shot" as const,
              "heat-memory" as const,
            ),
            positions: fc.integer({ min: 2, max: 5 }),
            rest: number,
            load: number,
            other: use,
          },
          { noNullPrototype: true },
        ),
        { minLength: size.leastInputs ?? 1, maxLength: size.inputs },
      ),
      commons: fc.array(fc.record({ leg: number, use }, { noNullPrototype: true }), { maxLength: 2 }),
      branches: fc.array(fc.record({ from: number, to: number, elements: elements(5) }, { noNullPrototype: true }), {
        minLength: size.leastBranches ?? 1,
        maxLength: size.branches,
      }),
      relays: fc.array(
        fc.record(
          {
            kind: fc.constantFrom(
              "coil" as const,
              "coil" as const,
              "current" as const,
              "seat" as const,
              "latch" as const,
            ),
            feed: fc.oneof({ weight: 3, arbitrary: contactsOnly }, { weight: 1, arbitrary: elements(3) }),
            hold: fc.boolean(),
            to: number,
            use,
            ohms: number,
          },
          { noNullPrototype: true },
        ),
        { maxLength: size.relays },
      ),
      motors: fc.array(
        fc.record(
          {
            feed: fc.oneof({ weight: 3, arbitrary: contactsOnly }, { weight: 1, arbitrary: elements(3) }),
            hold: fc.boolean(),
            to: number,
            start: fc.constantFrom(
              "speed-switch" as const,
              "none" as const,
              "direct" as const,
              "contact" as const,
              "capacitor" as const,
            ),
            use,
            reversing: fc.boolean(),
            slow: fc.boolean(),
          },
          { noNullPrototype: true },
        ),
        { maxLength: size.motors },
      ),
      bridges: fc.array(fc.record({ a: number, b: number, use }, { noNullPrototype: true }), {
        maxLength: size.bridges,
      }),
    },
    { noNullPrototype: true },
  );
}

/** Machines up to a size, always structurally valid. */
export function randomMachines(size: MachineSize): fc.Arbitrary<Machine> {
  return machineSketches(size).map((sketch) => writeMachine(sketch, size.states));
}
