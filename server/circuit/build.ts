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

  const joint = (terminal: number): number => jointOf[terminal]!;
  const { contacts, loads, supply } = machine;
  return {
    machine,
    jointCount: terminalsOf.length,
    jointOf,
    terminalsOf,
    contactA: Int32Array.from(contacts, ({ a }) => joint(a)),
    contactB: Int32Array.from(contacts, ({ b }) => joint(b)),
    loadA: Int32Array.from(loads, ({ a }) => joint(a)),
    loadB: Int32Array.from(loads, ({ b }) => joint(b)),
    legJoint: Int32Array.from(supply.legs, ({ terminal }) => joint(terminal)),
    legRe: Float64Array.from(supply.legs, ({ volts }) => volts.re),
    legIm: Float64Array.from(supply.legs, ({ volts }) => volts.im),
  };
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
