/**
 * Published worked examples, solved again. Every circuit and every printed answer is in worked-examples.json with its
 * source, the place in it and the errata of the source (values there are the corrected ones). `printed` answers must agree
 * within the printed digits, and within 1e-6 with `recomputed`, an independent nodal analysis in another language.
 */
import { describe, expect, test } from "vitest";
import { buildCircuit } from "../../server/circuit/build.ts";
import type { Solution } from "../../server/circuit/circuit.ts";
import { solveState } from "../../server/circuit/solve.ts";
import type { Complex } from "../../server/machine/machine.ts";
import { buildMachine, polar, stateOf } from "../support/build-machine.ts";
import data from "./worked-examples.json" with { type: "json" };

interface Component {
  readonly ref: string;
  readonly kind: string;
  readonly a?: string;
  readonly b?: string;
  readonly plus?: string;
  readonly minus?: string;
  readonly value: number;
  readonly angle_deg?: number;
}

interface Answer {
  readonly quantity: string;
  readonly printed: string;
  readonly value?: number;
  readonly magnitude?: number;
  readonly angle_deg?: number;
  readonly re?: number;
  readonly im?: number;
  readonly tol?: number;
  readonly recomputed: number | { value?: number; magnitude?: number; angle_deg?: number; re?: number; im?: number };
}

interface Example {
  readonly id: string;
  readonly title: string;
  readonly source: { readonly title: string; readonly where: string };
  readonly frequency_hz: number;
  readonly amplitudes: string;
  readonly components: readonly Component[];
  readonly answers: readonly Answer[];
  readonly errata: readonly string[];
}

/** Answers that are arithmetic on other answers, or belong to a circuit that the example does not describe. */
const arithmetic =
  /^(X_for_unity|C_for_unity|I_line|f0|phase|R12|R34|R_[ABC]|V2 reversed: .*|total power [ab]|before: .*|P\(E1\+E2\))$/;

/** The circuit of an example: sources that hang together from GND (or N) are legs, floating ones feed through 1:1 transformers. */
class Worked {
  readonly solution: Solution;
  readonly #example: Example;
  readonly #points: ReadonlyMap<string, number>;
  readonly #legs: string[];
  readonly #floating: Component[];

  constructor(example: Example, frequency: number) {
    this.#example = example;
    const sources = example.components.filter(({ kind }) => kind === "voltage_source");
    const earth = sources.some(({ minus, plus }) => minus === "GND" || plus === "GND") ? "GND" : sources[0]!.minus!;
    const legs: Record<string, Complex> = { [earth]: { re: 0, im: 0 } };
    let left = sources;
    for (let before = -1; before !== left.length; ) {
      before = left.length;
      left = left.filter(({ plus, minus, value, angle_deg }) => {
        const volts = polar(value, angle_deg ?? 0);
        const low = legs[minus!];
        const high = legs[plus!];
        if (low) legs[plus!] = { re: low.re + volts.re, im: low.im + volts.im };
        else if (high) legs[minus!] = { re: high.re - volts.re, im: high.im - volts.im };
        return !low && !high;
      });
    }
    this.#floating = left;
    for (const { ref, value, angle_deg } of left) legs[`leg ${ref}`] = polar(value, angle_deg ?? 0);
    this.#legs = Object.keys(legs);
    const omega = 2 * Math.PI * frequency;
    const machine = buildMachine({
      legs,
      loads: example.components
        .filter(({ kind }) => kind !== "voltage_source")
        .map(({ ref, kind, a, b, value }) => {
          const z =
            kind === "resistor" ? value : { re: 0, im: kind === "inductor" ? omega * value : -1 / (omega * value) };
          return { name: ref, a: a!, b: b!, z };
        }),
      transformers: left.map(({ ref, plus, minus }) => ({
        primary: [`leg ${ref}`, earth] as const,
        secondary: [plus!, minus!] as const,
        ratio: 1,
      })),
    });
    const circuit = buildCircuit(machine);
    this.#points = new Map(machine.terminals.map(({ name, id }) => [name, circuit.jointOf[id]!]));
    this.solution = solveState(circuit, stateOf(machine));
  }

  volts(a: string, b: string): Complex {
    const { re, im } = this.solution.joints;
    const [from, to] = [this.#points.get(a)!, this.#points.get(b)!];
    return { re: re[from]! - re[to]!, im: im[from]! - im[to]! };
  }

  /** Through a part from a to b; delivered by a source. */
  amps(ref: string): Complex {
    const load = this.solution.circuit.machine.loads.find(({ name }) => name === ref);
    if (load) return { re: this.solution.loadAmps.re[load.id]!, im: this.solution.loadAmps.im[load.id]! };
    const floating = this.#floating.findIndex((source) => source.ref === ref);
    const { re, im } = floating >= 0 ? this.solution.transformerAmps : this.solution.legAmps;
    const source = this.#example.components.find((one) => one.ref === ref)!;
    const at = floating >= 0 ? floating : this.#legs.indexOf(source.plus!);
    return { re: re[at]!, im: im[at]! };
  }

  /** Volts and amps of a part, or of parts in series or parallel that are told as one (`Rload+Lload`: in series). */
  power(refs: string): Complex {
    let re = 0;
    let im = 0;
    for (const ref of refs.split("+")) {
      const { a, b, plus, minus } = this.#example.components.find((one) => one.ref === ref)!;
      const volts = this.volts(a ?? plus!, b ?? minus!);
      const amps = this.amps(ref);
      re += volts.re * amps.re + volts.im * amps.im;
      im += volts.im * amps.re - volts.re * amps.im;
    }
    return { re, im };
  }

  quantity(name: string): Complex | number {
    const [, kind, inside] = /^(\w+)\((.*)\)/.exec(name)!;
    if (kind === "V") return this.volts(...(inside!.split(",") as [string, string]));
    if (kind === "I") return this.amps(inside!);
    if (kind === "P") return this.power(inside!).re;
    if (kind === "Q") return this.power(inside!).im;
    if (kind === "S") return size(this.power(inside!));
    if (kind === "PF") return this.power(inside!).re / size(this.power(inside!));
    const { a, b, plus, minus } = this.#example.components.find(({ ref }) => ref === inside)!;
    const volts = this.volts(a ?? plus!, b ?? minus!);
    const amps = this.amps(inside!);
    const square = size(amps) ** 2;
    const z = {
      re: (volts.re * amps.re + volts.im * amps.im) / square,
      im: (volts.im * amps.re - volts.re * amps.im) / square,
    };
    return kind === "X" ? Math.abs(z.im) : z;
  }
}

function size({ re, im }: Complex): number {
  return Math.hypot(re, im);
}

/** Half a unit in the last digit that the number is written with. */
function halfDigit(value: number): number {
  const [mantissa, exponent] = String(value).split("e");
  return 0.5 * 10 ** (Number(exponent ?? 0) - (mantissa!.split(".")[1]?.length ?? 0)) * (1 + 1e-9);
}

type Form = "value" | "magnitude" | "angle_deg" | "re" | "im";

/** The answer in the form that the source prints. */
function inForm(found: Complex | number, form: Form, direct: boolean): number {
  if (typeof found === "number") return found;
  if (form === "re" || form === "im") return found[form];
  if (form === "angle_deg") return (Math.atan2(found.im, found.re) * 180) / Math.PI;
  return form === "value" && direct ? found.re : size(found);
}

for (const example of (data as unknown as { examples: Example[] }).examples) {
  describe(`${example.id}: ${example.title} (${example.source.title}, ${example.source.where})`, () => {
    for (const answer of example.answers) {
      if (arithmetic.test(answer.quantity)) continue;
      // `I(E) at 200 Hz`, `XL 120 Hz`: the same circuit at another frequency.
      const other = /(?:at )?(\d+) Hz$/.exec(answer.quantity);
      const name = answer.quantity.replace(/^X([LC]) .*/, "X($1)").replace(/ at .*/, "");
      test(`${answer.quantity} = ${answer.printed}`, () => {
        const worked = new Worked(example, other ? Number(other[1]) : example.frequency_hz);
        const found = worked.quantity(name);
        // A unit in the last digit where the source says so, and where 0.16 A comes from an impedance already rounded to 770 ohm.
        const rounded = example.errata.some((text) => text.includes("1 unit in the last place"));
        const digits = rounded || (example.id === "os-rc-120V-peak" && name === "I(R)") ? 2 : 1;
        let compared = 0;
        for (const form of ["value", "magnitude", "angle_deg", "re", "im"] as const) {
          const printed = answer[form];
          if (printed === undefined) continue;
          let value = inForm(found, form, example.amplitudes === "dc");
          if (form === "angle_deg") value += 360 * Math.round((printed - value) / 360);
          expect(Math.abs(value - printed)).toBeLessThanOrEqual(answer.tol ?? digits * halfDigit(printed));
          const again = typeof answer.recomputed === "number" ? answer.recomputed : answer.recomputed[form];
          // Angles are recomputed to five decimals, the rest to eight digits; the sign of an angle near 180 degrees may differ.
          const close = form === "angle_deg" ? 1e-5 : 2e-6 * Math.max(1, Math.abs(again ?? 0));
          const off = again === undefined ? 0 : Math.abs(value - again);
          expect(form === "angle_deg" ? Math.min(off, Math.abs(off - 360)) : off).toBeLessThan(close);
          compared++;
        }
        expect(compared).toBeGreaterThan(0);
      });
    }
  });
}

test("OpenStax University Physics 2, section 10.3: the second source reversed", () => {
  // Same example as os-two-source-mA: printed 0.04, 1.52, 1.48 mA and 4.50 mW.
  const machine = buildMachine({
    legs: { n1: 1.6, n3: 3, GND: 0 },
    loads: [
      { name: "R1", a: "n1", b: "n2", z: 2000 },
      { name: "R3", a: "n3", b: "n2", z: 1000 },
      { name: "R2", a: "n2", b: "GND", z: 1000 },
    ],
  });
  const { loadAmps, loadWatts } = solveState(buildCircuit(machine), stateOf(machine));
  expect([...loadAmps.re].map((amps) => Math.round(Math.abs(amps) * 1e8) / 1e5)).toEqual([0.04, 1.48, 1.52]);
  expect(loadWatts.reduce((sum, watts) => sum + watts, 0)).toBeCloseTo(4.504e-3, 9);
});
