/**
 * Machines of a fixed make for measuring: the same seed and size give the same text for ever. A 60-step timer with 16 contacts
 * and about 56 distinct columns, three four-position selectors, two-position devices, a relay that holds itself in, a motor with a speed
 * switch; 15 % of the loads behind one neutral-side switch, two loads fed in series, three bridging contacts.
 *
 * The machine is written twice from one plan: as text, and straight into the data structure (every input free to change).
 */
import type { Condition, Literal, Machine, TerminalId } from "../../server/machine/machine.ts";
import { drawing, MachineWriter, SCALES } from "../support/machine-writer.ts";

export interface GeneratedMachine {
  readonly text: string;
  readonly machine: Machine;
}

export interface GeneratedSize {
  readonly seed: number;
  /** Two-position devices, 10 to 60 (at least 8). */
  readonly devices: number;
  /** Fewer timer steps and selectors than the promised 60 and 3: machines that a walk through the states one by one can finish. */
  readonly steps?: number;
  readonly selectors?: number;
}

const STEPS = 60;
const ROWS = 16;
const DISTINCT_COLUMNS = 56;

export function generatedMachine(size: GeneratedSize): GeneratedMachine {
  return new Plan(size).write();
}

/** Small fast random numbers (mulberry32), good enough to spread a test. */
export function randomNumbers(seed: number): (below: number) => number {
  let state = (seed * 0x9e3779b1) >>> 0;
  return (below) => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) % below;
  };
}

/** Rows of `X` and `-`, with `DISTINCT_COLUMNS` steps that differ from the one before them (a few come back to an earlier column). */
function chart(steps: number, random: (below: number) => number): string[] {
  const repeats = new Set<number>();
  const distinct = Math.round((steps * DISTINCT_COLUMNS) / STEPS);
  while (repeats.size < steps - distinct) repeats.add(2 + random(steps - 2));
  const rows = Array.from({ length: ROWS }, () => random(2) === 1);
  const columns: boolean[][] = [];
  for (let step = 0; step < steps; step++) {
    // One to three cams move from step to step; the first row to move is another one each time, so that columns differ.
    if (step > 0 && !repeats.has(step)) {
      for (let moves = 1 + random(3), row = step % ROWS; moves > 0; moves--, row = random(ROWS)) rows[row] = !rows[row];
    }
    columns.push(rows.slice());
  }
  return Array.from({ length: ROWS }, (_, row) => columns.map((column) => (column[row] ? "X" : "-")).join(""));
}

/** Something with two ends that a wire passes through. */
interface Passage {
  /** As written in a chain: `D4`, `K(13 14)`. */
  readonly text: string;
  readonly add: (a: TerminalId, b: TerminalId) => void;
}

class Plan {
  readonly #size: GeneratedSize;
  readonly #random: (below: number) => number;
  readonly #out = new MachineWriter("120/240 V");
  readonly #parts: string[] = [];
  readonly #wires: string[] = [];
  /** Joints by the point that stands for them in the text. */
  readonly #points = new Map<string, TerminalId>([
    ["L1", this.#out.L1],
    ["L2", this.#out.L2],
    ["N", this.#out.N],
  ]);
  /** Points inside chains, where bridges may end. */
  readonly #inner: string[] = [];
  readonly #devices: Passage[] = [];
  #loads = 0;

  constructor(size: GeneratedSize) {
    this.#size = size;
    this.#random = randomNumbers(size.seed);
  }

  write(): GeneratedMachine {
    const { devices, steps = STEPS } = this.#size;
    for (let device = 0; device < devices; device++) this.#devices.push(this.#device(device));
    const rows = this.#timer(steps);
    const selectors = [0, 1, 2].slice(0, this.#size.selectors).flatMap((selector) => this.#selector(selector));
    // 25 to 29 loads for 40 devices, in proportion for other sizes; 15 % of them behind the neutral-side switch.
    const loads = Math.round((devices * (25 + this.#random(5))) / 40);
    const throughRelay = (index: number): boolean => index % 9 === 4;
    const relay = this.#relay(Array.from({ length: loads }, (_, index) => index).filter(throughRelay).length);
    const motor = this.#motor(rows[0]!);
    this.#chain("N", [this.#take()!], "NS");

    const spare = 3;
    for (let index = 0; index < loads; index++) {
      const passages: Passage[] = [];
      const share = Math.ceil((this.#devices.length - spare) / (loads - index));
      for (let take = Math.max(0, Math.min(share, this.#devices.length - spare)); take > 0; take--)
        passages.push(this.#take()!);
      if (index % 3 === 0 && selectors.length > 0) passages.unshift(selectors.shift()!);
      if (index === 1) passages.push(motor);
      if (throughRelay(index)) passages.unshift(relay.shift()!);
      const heater = index % 5 === 1;
      passages.push(this.#load(heater ? "heater" : "valve", heater ? 240 : 120));
      // Two loads one behind the other share the volts.
      if (index === 2) passages.push(this.#load("lamp", 120));
      const back = heater ? "L2" : this.#loads % 20 < 3 ? "NS" : "N";
      this.#chain(rows[1 + (index % (ROWS - 1))]!, passages, back);
    }
    for (let bridge = 0; bridge < spare; bridge++) {
      const from = this.#inner[this.#random(this.#inner.length)]!;
      const others = this.#inner.filter((point) => point !== from);
      this.#chain(from, [this.#take()!], others[this.#random(others.length)]!);
    }
    // Contacts that no wire reaches are in the machine all the same.
    for (const left of selectors) left.add(this.#out.joint(), this.#out.joint());
    const text = [
      `machine "Larkfield test bench ${devices}-${this.#size.seed}"`,
      "supply 120/240 V 60 Hz",
      "",
      ...this.#parts,
      "",
      ...this.#wires,
      "",
    ].join("\n");
    return { text, machine: this.#out.machine(`Larkfield test bench ${devices}-${this.#size.seed}`) };
  }

  #take(): Passage | undefined {
    return this.#devices.shift();
  }

  #point(text: string): TerminalId {
    let joint = this.#points.get(text);
    if (joint === undefined) this.#points.set(text, (joint = this.#out.joint(text)));
    return joint;
  }

  #chain(from: string, passages: readonly Passage[], to: string): void {
    if (to === "NS") this.#splice();
    this.#wires.push(`wire ${[from, ...passages.map(({ text }) => text), to].join(" to ")}`);
    let at = this.#point(from);
    passages.forEach((passage, index) => {
      const last = index === passages.length - 1;
      // The far end of a plain device in mid chain can be named: `D4.2`.
      const name = /^[A-Z]+\d+$/.test(passage.text) && !last ? `${passage.text}.2` : "";
      const next = last ? this.#point(to) : name ? this.#point(name) : this.#out.joint();
      if (name) this.#inner.push(name);
      passage.add(at, next);
      at = next;
    });
  }

  #splice(): void {
    if (!this.#parts.includes("splice NS")) this.#parts.push("splice NS");
  }

  #device(index: number): Passage {
    const name = `D${index + 1}`;
    const kinds = [
      { text: `switch ${name} 1 to 2 closed in on, open in off rated 25 A 250 V`, positions: ["on", "off"] },
      { text: `thermostat ${name} opens 68 C closes 57 C rated 25 A 250 V`, positions: ["closed", "open"] },
      { text: `limit ${name} opens 121 C closes 93 C rated 25 A 250 V`, positions: ["closed", "open"] },
      { text: `push ${name} normally closed rated 25 A 250 V`, positions: ["released", "pressed"] },
    ];
    const kind = kinds[index % kinds.length]!;
    this.#parts.push(kind.text);
    const control = this.#out.input(name, kind.positions);
    return { text: name, add: (a, b) => this.#out.contact(a, b, this.#out.in(control, 0), name) };
  }

  /** The points behind the timer's contacts. */
  #timer(steps: number): string[] {
    const names = Array.from({ length: steps }, (_, step) => (step === 0 ? "off" : `run ${step}`));
    const control = this.#out.input("TM", names, { role: "timer" });
    const lines = ["timer TM {", "  rated 25 A 250 V", "  drive M1 to M2  120 V draws 33 mA pf 0.65"];
    const cells = chart(steps, this.#random);
    for (const row of cells.keys()) lines.push(`  contact r${row} A${row} to B${row}`);
    lines.push("  chart 60 s per step {", `    steps off 1 run ${steps - 1}`);
    for (const [index, row] of cells.entries()) lines.push(`    r${index} ${row}`);
    this.#parts.push(...lines, "  }", "}");
    const points = cells.map((row, index) => {
      const closed = [...row].flatMap((cell, step) => (cell === "X" ? [step] : []));
      this.#wires.push(`wire L1 to TM.A${index}`);
      const point = this.#point(`TM.B${index}`);
      this.#out.contact(this.#out.L1, point, this.#out.in(control, ...closed), `TM.r${index}`);
      return `TM.B${index}`;
    });
    const impedance = drawing(120, 0.033, 0.65);
    const options = { ratedVolts: 120, scale: SCALES.drive };
    this.#out.load("TM.drive", "drive", this.#point(points[ROWS - 1]!), this.#out.N, impedance, options);
    this.#wires.push(`wire ${points[ROWS - 1]} to TM.M1`, "wire TM.M2 to N");
    return points;
  }

  /** Three contacts of a four-position selector, each closed in one or two positions. */
  #selector(index: number): Passage[] {
    const name = `SE${index + 1}`;
    const control = this.#out.input(name, ["p1", "p2", "p3", "p4"], { role: "selector" });
    const lines = [`selector ${name} {`, "  positions p1 p2 p3 p4"];
    const passages = [0, 1, 2].map((contact): Passage => {
      const first = this.#random(4);
      const second = this.#random(4);
      const positions = [...new Set([first, second])].sort();
      const [a, b] = [2 * contact + 1, 2 * contact + 2];
      lines.push(`  contact ${a} to ${b} in ${positions.map((at) => `p${at + 1}`).join(" or ")}  rated 25 A 250 V`);
      return {
        text: `${name}(${a} ${b})`,
        add: (x, y) => this.#out.contact(x, y, this.#out.in(control, ...positions), `${name}.${a}-${b}`),
      };
    });
    this.#parts.push(...lines, "}");
    return passages;
  }

  /** A relay that holds itself in past a start button until a stop button opens; so many contacts beside the holding one. */
  #relay(others: number): Passage[] {
    const control = this.#out.settled("K", ["dropped-out", "pulled-in"]);
    const button = this.#out.input("START", ["released", "pressed"], { role: "push" });
    // Numbered as IEC 60947-5-1 (and EN 50005) number contacts that make: 13 and 14, 23 and 24, ...
    const ends = Array.from({ length: 1 + others }, (_, index) => [10 * index + 13, 10 * index + 14]);
    this.#parts.push(
      "push START rated 25 A 250 V",
      "relay K {",
      "  coil A1 to A2  120 V draws 40 mA pf 0.5",
      ...ends.map(([a, b]) => `  contact ${a} to ${b} while energised  rated 25 A 250 V`),
      "}",
    );
    const pulledIn = this.#out.in(control, 1);
    const passage = (text: string, closed: Literal | Condition): Passage => ({
      text,
      add: (a, b) => this.#out.contact(a, b, closed, text),
    });
    const stop = this.#take()!;
    this.#chain("L1", [stop, passage("START", this.#out.in(button, 1))], "K.A1");
    this.#chain(`${stop.text}.2`, [passage("K(13 14)", pulledIn)], "K.A1");
    this.#wires.push("wire K.A2 to N");
    const load = this.#out.load("K.coil", "coil", this.#point("K.A1"), this.#out.N, drawing(120, 0.04, 0.5), {
      ratedVolts: 120,
      scale: SCALES.coil,
    });
    this.#out.follows(control, { rule: "coil", load });
    return ends.slice(1).map(([a, b]) => passage(`K(${a} ${b})`, pulledIn));
  }

  /** A split-phase motor with a speed switch; the contact of the speed switch that lets a heater heat. */
  #motor(from: string): Passage {
    const control = this.#out.settled("DM", ["stopped", "hums", "running"], "motor");
    this.#parts.push(
      'motor DM "drive motor" 120 V 1/3 hp thermally-protected {',
      "  winding main  4 to 5  runs 5.2 A pf 0.62  starts 22 A pf 0.62",
      "  winding start 3 to 5  starts 14 A pf 0.88",
      "  speed-switch {",
      "    contact 6 to 3  while stopped  rated 25 A 250 V",
      "    contact 1 to 2  while running  rated 25 A 250 V",
      "  }",
      "}",
    );
    this.#chain(from, [this.#take()!, this.#take()!], "DM.4");
    this.#wires.push("wire DM.4 to DM.6", "wire DM.5 to N");
    const [feed, near, back] = [this.#point("DM.4"), this.#point("DM.3"), this.#out.N];
    const locked = drawing(120, 22, 0.62);
    const main = this.#out.load("DM.main", "winding", feed, back, [locked, locked, drawing(120, 5.2, 0.62)], {
      ratedVolts: 120,
      control,
      inrush: locked,
      scale: SCALES.motor,
    });
    this.#out.contact(feed, near, this.#out.in(control, 0, 1), "DM.6-3");
    const start = this.#out.load("DM.start", "start-winding", near, back, drawing(120, 14, 0.88), {
      ratedVolts: 120,
      scale: SCALES.motor,
    });
    this.#out.follows(control, { rule: "motor", mains: [main], starts: [start], leastTorque: 0.1 });
    return {
      text: "DM(1 2)",
      add: (a, b) => this.#out.contact(a, b, this.#out.in(control, 2), "DM.1-2"),
    };
  }

  #load(kind: "heater" | "valve" | "lamp", volts: number): Passage {
    const name = `${kind === "heater" ? "H" : kind === "valve" ? "V" : "L"}L${++this.#loads}`;
    // Watts and milliamps differ from load to load: equal ones would be told apart too easily.
    const watts = 800 + 100 * this.#random(20) + this.#loads;
    const amps = (60 + this.#random(60)) / 1000;
    this.#parts.push(
      kind === "heater"
        ? `heater ${name} ${watts} W ${volts} V`
        : kind === "lamp"
          ? `lamp ${name} 15 W ${volts} V`
          : `valve ${name} ${volts} V draws ${Math.round(1000 * amps)} mA pf 0.6`,
    );
    const impedance =
      kind === "heater"
        ? { re: volts ** 2 / watts, im: 0 }
        : kind === "lamp"
          ? { re: volts ** 2 / 15, im: 0 }
          : drawing(volts, amps, 0.6);
    return {
      text: name,
      add: (a, b) =>
        this.#out.load(name, kind, a, b, impedance, {
          ratedVolts: volts,
          scale: kind === "valve" ? SCALES.coil : SCALES.plain,
        }),
    };
  }
}
