/**
 * Machines from a literal, for tests of the circuit: points by name, parts as short rows. Points of one name are one
 * terminal, so no wires are needed; `wires` joins two names where a test wants a wire of its own.
 *
 *     buildMachine({
 *       legs: { L1: 120, L2: -120, N: 0 },
 *       controls: { TM: ["off", "heat"] },
 *       contacts: [{ name: "TM.heat", a: "L1", b: "x", closed: "TM heat" }],
 *       loads: [{ name: "HT", a: "x", b: "L2", z: 10.67 }],
 *     })
 */
import { restState } from "../../server/machine/describe.ts";
import type {
  Complex,
  Condition,
  Contact,
  Control,
  Load,
  Machine,
  MachineState,
  Supply,
  SupplyLeg,
  Terminal,
  Transformer,
  Wire,
} from "../../server/machine/machine.ts";

const nowhere = { file: "test.camleaf", from: 0, to: 0 };

/** A plain number is resistance in ohm, or volts at angle 0. */
export type Value = number | Complex;

export interface ContactRow extends Partial<Omit<Contact, "a" | "b" | "closed" | "name">> {
  readonly name: string;
  readonly a: string;
  readonly b: string;
  /** `always`, `never`, or `TM heat` (`TM heat/cool, DOOR shut`: a comma is and, a slash joins positions). */
  readonly closed: string;
}

export interface LoadRow extends Partial<Omit<Load, "a" | "b" | "impedance" | "control" | "name">> {
  readonly name: string;
  readonly a: string;
  readonly b: string;
  /** One impedance, or one per position of `by`; undefined does not conduct. */
  readonly z: Value | readonly (Value | undefined)[];
  readonly by?: string;
}

export interface MachineLiteral {
  /** Volts of each leg; `PE` and `G` are protective, other legs of 0 V neutral. */
  readonly legs: Readonly<Record<string, Value>>;
  readonly frequency?: number;
  readonly form?: Supply["form"];
  /** Positions by control; the first is the resting one. SUPPLY on, off is always there. */
  readonly controls?: Readonly<Record<string, readonly string[]>>;
  readonly contacts?: readonly ContactRow[];
  readonly loads?: readonly LoadRow[];
  readonly transformers?: readonly {
    readonly primary: readonly [string, string];
    readonly secondary: readonly [string, string];
    readonly ratio: number;
    readonly series?: Value;
    readonly magnetising?: Value;
  }[];
  readonly wires?: readonly (readonly [string, string])[];
  /** Name of the point that is the frame of the one part that holds everything. */
  readonly frame?: string;
}

export function complex(value: Value): Complex {
  return typeof value === "number" ? { re: value, im: 0 } : value;
}

/** Volts or ohms from a magnitude and an angle in degrees. */
export function polar(size: number, degrees: number): Complex {
  return { re: size * Math.cos((degrees * Math.PI) / 180), im: size * Math.sin((degrees * Math.PI) / 180) };
}

export function buildMachine(literal: MachineLiteral): Machine {
  const terminals: Terminal[] = [];
  const byName = new Map<string, number>();
  const terminal = (name: string): number => {
    let id = byName.get(name);
    if (id === undefined) {
      byName.set(name, (id = terminals.length));
      terminals.push({ id, part: 0, name, fullName: name, place: nowhere });
    }
    return id;
  };
  const legs = Object.entries(literal.legs).map(([name, value]): SupplyLeg => {
    const volts = complex(value);
    const dead = volts.re === 0 && volts.im === 0;
    const role = /^(PE|G|GND)$/.test(name) ? "protective" : dead ? "neutral" : "live";
    return { name, terminal: terminal(name), volts, role };
  });
  const controls = Object.entries({ SUPPLY: ["on", "off"], ...literal.controls }).map(
    ([name, positions], id): Control => ({
      id,
      part: 0,
      name,
      role: name === "SUPPLY" ? "supply" : "switch",
      positions: positions.map((position) => ({ name: position })),
      rest: 0,
      settled: false,
      place: nowhere,
    }),
  );
  const contacts = (literal.contacts ?? []).map(
    ({ a, b, closed, ...row }, id): Contact => ({
      id,
      part: 0,
      role: "switching",
      ratings: [],
      ohms: 0,
      place: nowhere,
      namePlace: nowhere,
      ...row,
      a: terminal(a),
      b: terminal(b),
      closed: conditionFrom(controls, closed),
    }),
  );
  const loads = (literal.loads ?? []).map(({ a, b, z, by, ...row }, id): Load => {
    const control = by === undefined ? undefined : controls.find(({ name }) => name === by)!.id;
    const values = Array.isArray(z) ? (z as readonly (Value | undefined)[]) : [z as Value];
    return {
      id,
      part: 0,
      kind: "heater",
      known: true,
      scale: { weak: 0.1, works: 0.5, over: 1.1 },
      needsProtector: false,
      alsoAt: [],
      through: [],
      place: nowhere,
      namePlace: nowhere,
      ...(control === undefined ? {} : { control }),
      ...row,
      a: terminal(a),
      b: terminal(b),
      impedance: values.map((value) => (value === undefined ? undefined : complex(value))),
    };
  });
  const transformers = (literal.transformers ?? []).map(
    ({ primary, secondary, ratio, series, magnetising }): Transformer => ({
      part: 0,
      primary: [terminal(primary[0]), terminal(primary[1])],
      secondary: [terminal(secondary[0]), terminal(secondary[1])],
      ratio,
      series: complex(series ?? 0),
      magnetising: complex(magnetising ?? 0),
      place: nowhere,
    }),
  );
  const wires = (literal.wires ?? []).map(
    ([a, b], id): Wire => ({ id, a: terminal(a), b: terminal(b), kind: "wire", place: nowhere }),
  );
  const frame = literal.frame === undefined ? undefined : terminal(literal.frame);
  return {
    label: "test machine",
    file: nowhere.file,
    tree: { from: 0, to: 0, text: "", statements: [], comments: [], errors: [], tokens: [] },
    place: nowhere,
    supply: {
      part: 0,
      text: "as the test says",
      form: literal.form ?? "single",
      legs,
      frequency: literal.frequency ?? 60,
      reversible: false,
      control: 0,
      stated: true,
      place: nowhere,
    },
    parts: [
      {
        id: 0,
        name: "all",
        kind: "load",
        place: nowhere,
        namePlace: nowhere,
        terminals: terminals.map(({ id }) => id),
        controls: controls.map(({ id }) => id),
        contacts: contacts.map(({ id }) => id),
        loads: loads.map(({ id }) => id),
        marks: [],
        plate: [],
        ...(frame === undefined ? {} : { frame }),
      },
    ],
    terminals,
    wires,
    controls,
    contacts,
    loads,
    transformers,
    programs: [],
    guards: [],
    expectations: [],
    notes: [],
    proposals: [],
    benchFindings: [],
    mentions: [],
    findings: [],
  };
}

/** The state at rest, changed by `{ TM: "heat" }`. */
export function stateOf(machine: Machine, positions: Readonly<Record<string, string>> = {}): MachineState {
  const state = restState(machine);
  for (const [name, position] of Object.entries(positions)) {
    const control = machine.controls.find((one) => one.name === name);
    const index = control?.positions.findIndex((one) => one.name === position) ?? -1;
    if (!control || index < 0) throw new Error(`no position ${name} ${position}`);
    state[control.id] = index;
  }
  return state;
}

function conditionFrom(controls: readonly Control[], text: string): Condition {
  if (text === "always") return [[]];
  if (text === "never") return [];
  return [
    text.split(",").map((term) => {
      const [name, positions] = term.trim().split(" ") as [string, string];
      const control = controls.find((one) => one.name === name);
      const wanted = positions.split("/");
      if (!control || !wanted.every((one) => control.positions.some((position) => position.name === one)))
        throw new Error(`no such position: ${term}`);
      return {
        control: control.id,
        positions: Uint8Array.from(control.positions, ({ name: position }) => (wanted.includes(position) ? 1 : 0)),
      };
    }),
  ];
}
