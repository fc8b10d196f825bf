/** machine -> circuit: points joined by wire become joints. */
import type { Machine, WireId } from "../machine/machine.ts";
import type { Circuit } from "./circuit.ts";
import { DisjointSets } from "./disjoint-sets.ts";

/**
 * The circuit of a machine. Wires of every kind (bonds, straps, jumpers and connections inside a part alike) join their
 * two ends; joints are numbered by their first terminal in the text.
 *
 * @param parted wires to leave out, for overrides that open a wire or give it ohms
 * @param extraJoints joints without a terminal to add at the end, for points inside a load
 */
export function buildCircuit(machine: Machine, parted?: ReadonlySet<WireId>, extraJoints = 0): Circuit {
  const sets = new DisjointSets(machine.terminals.length);
  for (const wire of machine.wires) if (!parted?.has(wire.id)) sets.join(wire.a, wire.b);

  const jointOf = new Int32Array(machine.terminals.length);
  const terminalsOf: number[][] = [];
  for (let terminal = 0; terminal < jointOf.length; terminal++) {
    const root = sets.find(terminal);
    if (root === terminal) jointOf[terminal] = terminalsOf.push([]) - 1;
    const joint = jointOf[root]!;
    jointOf[terminal] = joint;
    terminalsOf[joint]!.push(terminal);
  }
  for (let extra = 0; extra < extraJoints; extra++) terminalsOf.push([]);

  const { contacts, loads, supply } = machine;
  const legs = supply.legs.length;
  const circuit: Circuit = {
    machine,
    jointCount: terminalsOf.length,
    jointOf,
    terminalsOf,
    contactA: new Int32Array(contacts.length),
    contactB: new Int32Array(contacts.length),
    loadA: new Int32Array(loads.length),
    loadB: new Int32Array(loads.length),
    legJoint: new Int32Array(legs),
    legRe: new Float64Array(legs),
    legIm: new Float64Array(legs),
  };
  contacts.forEach(({ a, b }, id) => {
    circuit.contactA[id] = jointOf[a]!;
    circuit.contactB[id] = jointOf[b]!;
  });
  loads.forEach(({ a, b }, id) => {
    circuit.loadA[id] = jointOf[a]!;
    circuit.loadB[id] = jointOf[b]!;
  });
  supply.legs.forEach(({ terminal, volts }, leg) => {
    circuit.legJoint[leg] = jointOf[terminal]!;
    circuit.legRe[leg] = volts.re;
    circuit.legIm[leg] = volts.im;
  });
  return circuit;
}

/**
 * The circuit of a machine that has the very parts, contacts, loads and wires of a known one, and other legs: lost, or of other volts. The
 * joints are the known ones. Undefined when more than the legs differs.
 */
export function withOtherLegs(known: Circuit, machine: Machine): Circuit | undefined {
  const { machine: before, jointOf } = known;
  for (const list of ["terminals", "wires", "contacts", "loads", "controls", "transformers", "parts"] as const)
    if (machine[list] !== before[list]) return undefined;
  const { legs, control } = machine.supply;
  if (control !== before.supply.control) return undefined;
  return {
    ...known,
    machine,
    legJoint: Int32Array.from(legs, ({ terminal }) => jointOf[terminal]!),
    legRe: Float64Array.from(legs, ({ volts }) => volts.re),
    legIm: Float64Array.from(legs, ({ volts }) => volts.im),
  };
}
