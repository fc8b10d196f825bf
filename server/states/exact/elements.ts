/**
 * Elements: everything in a circuit that has an impedance, by numbers that outlive one analysis. How a stretch of circuit splits
 * depends on where its elements are and on when connections are there, not on ohms; so splitting knows elements only, and an
 * edit of a value leaves all of it as it was. Ohms come in where volts are worked out (`leaves.ts`).
 */
import type { Circuit } from "../../circuit/circuit.ts";
import type { Complex } from "../../machine/machine.ts";
import type { LoadTypes } from "./values.ts";

/** Numbers of elements by what they are called; kept as long as the memory. A number never tells what the element is worth. */
export class ElementStore {
  private readonly known = new Map<string, number>();

  number(name: string): number {
    let number = this.known.get(name);
    if (number === undefined) this.known.set(name, (number = this.known.size));
    return number;
  }
}

/** The elements of one machine. */
export interface Elements {
  /** By load id. */
  readonly ofLoad: readonly number[];
  /** Resistance of the closed contact, capacitance of the open one; -1 where it has none. By contact id. */
  readonly ofContact: readonly number[];
  readonly ofLeak: readonly number[];
  /** By index of transformer. */
  readonly ofTransformer: readonly number[];
  /** Load type (for transformers: transformer type) of each element. */
  readonly typeOf: readonly number[];
}

export function elementsOf(
  { machine }: Circuit,
  store: ElementStore,
  types: LoadTypes,
  typeOfLoad: ArrayLike<number>,
  largestLeg: number,
): Elements {
  const typeOf: number[] = [];
  const element = (name: string, type: number): number => {
    let number = store.number(name);
    // Two of one name: the second is called something else.
    for (let more = 2; typeOf[number] !== undefined; more++) number = store.number(`${name} ${more}`);
    typeOf[number] = type;
    return number;
  };
  return {
    ofLoad: machine.loads.map(({ id, name, impedance }) =>
      element(`load ${name} ${impedance.map(shapeOf).join("")}`, typeOfLoad[id]!),
    ),
    ofContact: machine.contacts.map(({ name, ohms }) =>
      ohms === 0 ? -1 : element(`contact ${name}`, types.resistor(ohms)),
    ),
    ofLeak: machine.contacts.map(({ name, leaks }) =>
      leaks && largestLeg > 0 ? element(`leak ${name}`, types.capacitance(leaks / largestLeg)) : -1,
    ),
    ofTransformer: machine.transformers.map((transformer, index) =>
      element(`transformer ${index}`, types.transformer(transformer)),
    ),
    typeOf,
  };
}

/** The same elements where only what loads and leaks are worth by the volts of the legs may differ. */
export function retyped(
  elements: Elements,
  { machine }: Circuit,
  types: LoadTypes,
  typeOfLoad: ArrayLike<number>,
  largestLeg: number,
): Elements {
  const typeOf = elements.typeOf.slice();
  elements.ofLoad.forEach((element, load) => {
    typeOf[element] = typeOfLoad[load]!;
  });
  machine.contacts.forEach(({ leaks }, contact) => {
    const element = elements.ofLeak[contact]!;
    if (element >= 0) typeOf[element] = types.capacitance(leaks! / largestLeg);
  });
  return { ...elements, typeOf };
}

/** Which positions conduct at all, and which without ohms: that is part of how a circuit splits. */
function shapeOf(z: Complex | undefined): string {
  if (!conducts(z)) return "-";
  return z!.re === 0 && z!.im === 0 ? "0" : "z";
}

export function conducts(z: Complex | undefined): boolean {
  return z !== undefined && Number.isFinite(z.re) && Number.isFinite(z.im);
}
