/** Islands with diodes or transformers: written out as a circuit of their own and given to the solver of single states. */
import type { Circuit } from "../../circuit/circuit.ts";
import { solveState } from "../../circuit/solve.ts";
import type { Load, Machine, Supply, Terminal, Transformer } from "../../machine/machine.ts";
import type { Legs } from "./island-solution.ts";
import { COUPLED, STRIDE } from "./reduce.ts";
import type { LoadTypes } from "./values.ts";

const NOWHERE = { file: "", from: 0, to: 0 };
const ON = Uint8Array.of(0);

export function isSpecialIsland(edges: ArrayLike<number>, types: LoadTypes, typeOf: ArrayLike<number>): boolean {
  const { hasDiodes } = types;
  for (let e = 0; e < edges.length; e += STRIDE)
    if (edges[e] === COUPLED || (hasDiodes && types.types[typeOf[edges[e + 3]!]!]!.diode)) return true;
  return false;
}

/** Writes the volts of each edge to `foundRe` and `foundIm`, from `first` on; none of windings and joints. */
export function solveSpecialIsland(
  edges: ArrayLike<number>,
  joints: number,
  legs: Legs,
  types: LoadTypes,
  typeOf: ArrayLike<number>,
  foundRe: Float64Array,
  foundIm: Float64Array,
  first: number,
): void {
  const terminals = Array.from(
    { length: joints },
    (_, id): Terminal => ({ id, part: 0, name: "", fullName: "", place: NOWHERE }),
  );
  const loads: Load[] = [];
  const edgeOf: number[] = [];
  const windings = new Map<number, { type: number; ends: [number, number][] }>();
  for (let e = 0; e < edges.length; e += STRIDE) {
    const [a, b] = [edges[e + 1]!, edges[e + 2]!];
    if (edges[e] === COUPLED) {
      const number = edges[e + 3]! >> 1;
      const sides = windings.get(number) ?? { type: typeOf[number]!, ends: [] };
      sides.ends[edges[e + 3]! & 1] = [a, b];
      windings.set(number, sides);
      continue;
    }
    const type = types.types[typeOf[edges[e + 3]!]!]!;
    edgeOf.push(e / STRIDE);
    loads.push({
      id: loads.length,
      part: 0,
      name: "",
      kind: type.diode ? "diode" : "load",
      a,
      b,
      impedance: [type.impedance[edges[e + 4]!]],
      known: true,
      scale: { weak: 0, works: 0, over: 0 },
      needsProtector: false,
      alsoAt: [],
      through: [],
      place: NOWHERE,
      namePlace: NOWHERE,
    });
  }
  const transformers = [...windings.values()].map(
    ({ type, ends }): Transformer => ({
      part: 0,
      primary: ends[0]!,
      secondary: ends[1]!,
      ...types.transformers[type]!,
      place: NOWHERE,
    }),
  );
  const { legRe, legIm } = { legRe: Float64Array.from(legs.re), legIm: Float64Array.from(legs.im) };
  const supply: Supply = {
    part: 0,
    text: "",
    form: "single",
    legs: Array.from(legRe, (re, terminal) => ({
      name: "",
      terminal,
      volts: { re, im: legIm[terminal]! },
      role: re === 0 && legIm[terminal] === 0 ? ("neutral" as const) : ("live" as const),
    })),
    frequency: 60,
    reversible: false,
    control: 0,
    stated: true,
    place: NOWHERE,
  };
  const machine = {
    supply,
    terminals,
    loads,
    transformers,
    parts: [],
    wires: [],
    controls: [],
    contacts: [],
  } as unknown as Machine;
  const circuit: Circuit = {
    machine,
    jointCount: joints,
    jointOf: Int32Array.from(terminals, ({ id }) => id),
    terminalsOf: terminals.map(({ id }) => [id]),
    contactA: new Int32Array(0),
    contactB: new Int32Array(0),
    loadA: Int32Array.from(loads, ({ a }) => a),
    loadB: Int32Array.from(loads, ({ b }) => b),
    legJoint: Int32Array.from(legRe, (_, leg) => leg),
    legRe,
    legIm,
  };
  const { re, im } = solveState(circuit, ON).loadVolts;
  edgeOf.forEach((edge, load) => {
    foundRe[first + edge] = re[load]!;
    foundIm[first + edge] = im[load]!;
  });
}
