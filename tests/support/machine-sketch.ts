/** Writes the sketch of a random machine out as a machine: see `random-machine.ts`. */
import type {
  ChangeRule,
  Complex,
  ControlId,
  Literal,
  LoadId,
  Machine,
  TerminalId,
} from "../../server/machine/machine.ts";
import { drawing, MachineWriter, SCALES } from "./machine-writer.ts";

/** A contact's condition: which control, which positions. */
export interface Use {
  readonly control: number;
  readonly mask: number;
}

export type Element =
  | { readonly type: "contact"; readonly use: Use; readonly also?: Use }
  | { readonly type: "changeover"; readonly use: Use }
  | { readonly type: "load"; readonly ohms: number; readonly kind: number; readonly bypass?: Use };

export interface InputSketch {
  readonly kind: "free" | "timer" | "thermal" | "level" | "button" | "one-shot" | "heat-memory";
  readonly positions: number;
  readonly rest: number;
  readonly load: number;
  readonly other: Use;
}

export interface BranchSketch {
  readonly from: number;
  readonly to: number;
  readonly elements: readonly Element[];
}

export interface RelaySketch {
  readonly kind: "coil" | "current" | "seat" | "latch";
  readonly feed: readonly Element[];
  readonly hold: boolean;
  readonly to: number;
  readonly use: Use;
  readonly ohms: number;
}

export interface MotorSketch {
  readonly feed: readonly Element[];
  readonly hold: boolean;
  readonly to: number;
  readonly start: "none" | "speed-switch" | "direct" | "contact" | "capacitor";
  readonly use: Use;
  readonly reversing: boolean;
  readonly slow: boolean;
}

export interface MachineSketch {
  readonly supply: "120 V" | "120/240 V";
  readonly inputs: readonly InputSketch[];
  readonly commons: readonly { readonly leg: number; readonly use: Use }[];
  readonly branches: readonly BranchSketch[];
  readonly relays: readonly RelaySketch[];
  readonly motors: readonly MotorSketch[];
  readonly bridges: readonly { readonly a: number; readonly b: number; readonly use: Use }[];
}

/** Ohms spread over what appliances have, close enough together that series loads come out weak as well as working. */
const OHMS: readonly Complex[] = [
  { re: 24, im: 0 },
  { re: 10.7, im: 0 },
  { re: 5600, im: 0 },
  { re: 1440, im: 0 },
  { re: 400, im: 310 },
  { re: 2800, im: 4700 },
  { re: 57, im: 12 },
  { re: 240, im: 0 },
  { re: 0.6, im: 0.4 },
];

/** A coil, a drive, a heater with a little and with much room, a lamp with inrush, a resistor without rated volts. */
const KINDS = ["coil", "drive", "heater", "lamp", "resistor", "heater"] as const;

/** Writes the sketch out; inputs are left out from the end until the product of positions is at most `states`. */
export function writeMachine(sketch: MachineSketch, states: number): Machine {
  return new SketchWriter(sketch, states).write();
}

class SketchWriter {
  readonly #sketch: MachineSketch;
  readonly #out: MachineWriter;
  readonly #joints: TerminalId[] = [];
  readonly #ends: TerminalId[];
  readonly #inputs: { readonly control: ControlId; readonly sketch: InputSketch }[] = [];
  readonly #relays: ControlId[];
  readonly #motors: ControlId[];
  /** Controls that contacts may use, with their numbers of positions. */
  readonly #usable: { readonly control: ControlId; readonly positions: number }[] = [];
  readonly #loads: LoadId[] = [];
  /** Rules of inputs need loads and controls that do not exist yet when the input is made; filled in at the end. */
  readonly #changes = new Map<ControlId, ChangeRule[]>();

  constructor(sketch: MachineSketch, states: number) {
    this.#sketch = sketch;
    this.#out = new MachineWriter(sketch.supply);
    this.#ends = sketch.supply === "120 V" ? [this.#out.L1, this.#out.N] : [this.#out.L1, this.#out.N, this.#out.L2];
    let product = 2;
    this.#relays = sketch.relays.map((relay, index) => {
      product *= 2;
      return this.#settled(relay.kind === "seat" ? `G${index}` : `K${index}`, ["out", "in"]);
    });
    this.#motors = sketch.motors.map((motor, index) => {
      const positions = motor.reversing ? ["stopped", "hums", "left", "right"] : ["stopped", "hums", "running"];
      product *= positions.length;
      return this.#settled(`M${index}`, positions);
    });
    for (const input of sketch.inputs) {
      const positions =
        input.kind === "free" || input.kind === "timer" ? input.positions : input.kind === "level" ? 3 : 2;
      if (product * positions > states) continue;
      product *= positions;
      const changes: ChangeRule[] = [];
      const names = Array.from({ length: positions }, (_, position) => String(position));
      const control = this.#out.input(`S${this.#inputs.length}`, names, {
        rest: input.rest % positions,
        ...(input.kind !== "free" && { changes }),
      });
      this.#changes.set(control, changes);
      this.#inputs.push({ control, sketch: input });
      this.#usable.push({ control, positions });
    }
    // Inputs count double, so that fewer contacts wait for a relay that nothing pulls in.
    this.#usable.push(...this.#usable.slice(this.#relays.length + this.#motors.length));
  }

  write(): Machine {
    for (const common of this.#sketch.commons) {
      const joint = this.#joint();
      this.#out.contact(
        this.#ends[common.leg % (this.#sketch.supply === "120 V" ? 2 : 3)]!,
        joint,
        this.#literal(common.use),
      );
      this.#ends.push(joint);
    }
    for (const branch of this.#sketch.branches) {
      const from = this.#end(branch.from);
      const to = this.#otherEnd(from, branch.to);
      const hasLoad = branch.elements.some((one) => one.type === "load");
      this.#chain(
        from,
        to,
        hasLoad ? branch.elements : [...branch.elements, { type: "load", ohms: branch.to, kind: 2 }],
      );
    }
    for (const [index, relay] of this.#sketch.relays.entries()) this.#relay(relay, this.#relays[index]!);
    for (const [index, motor] of this.#sketch.motors.entries()) this.#motor(motor, this.#motors[index]!);
    for (const bridge of this.#sketch.bridges) {
      if (this.#joints.length < 2) break;
      const a = this.#joints[bridge.a % this.#joints.length]!;
      const b = this.#joints[bridge.b % this.#joints.length]!;
      if (a !== b) this.#out.contact(a, b, this.#literal(bridge.use), "bridge");
    }
    for (const { control, sketch } of this.#inputs) this.#rules(control, sketch);
    return this.#out.machine("random machine");
  }

  #settled(name: string, positions: readonly string[]): ControlId {
    const control = this.#out.settled(name, positions);
    this.#usable.push({ control, positions: positions.length });
    return control;
  }

  #joint(): TerminalId {
    const joint = this.#out.joint();
    this.#joints.push(joint);
    return joint;
  }

  #end(number: number): TerminalId {
    return this.#ends[number % this.#ends.length]!;
  }

  #otherEnd(from: TerminalId, number: number): TerminalId {
    const others = this.#ends.filter((end) => end !== from);
    return others[number % others.length]!;
  }

  /** At least one position, never all of them. */
  #literal(one: Use, inverse = false): Literal {
    const { control, positions } = this.#usable[one.control % this.#usable.length]!;
    const bits = 1 + (one.mask % (2 ** positions - 2));
    return {
      control,
      positions: Uint8Array.from({ length: positions }, (_, position) => ((bits >> position) & 1) ^ (inverse ? 1 : 0)),
    };
  }

  #chain(from: TerminalId, to: TerminalId, parts: readonly Element[]): void {
    let at = from;
    parts.forEach((part, index) => {
      const next = index === parts.length - 1 ? to : this.#joint();
      this.#element(at, next, part);
      at = next;
    });
  }

  #element(a: TerminalId, b: TerminalId, part: Element): void {
    switch (part.type) {
      case "contact":
        this.#out.contact(
          a,
          b,
          part.also ? [[this.#literal(part.use), this.#literal(part.also)]] : this.#literal(part.use),
        );
        return;
      case "changeover": {
        const makes = this.#out.contact(a, b, this.#literal(part.use));
        this.#out.contact(a, this.#joint(), this.#literal(part.use, true), undefined, makes);
        return;
      }
      case "load":
        this.#plainLoad(a, b, part.ohms, part.kind);
        if (part.bypass) this.#out.contact(a, b, this.#literal(part.bypass), "bypass");
    }
  }

  #plainLoad(a: TerminalId, b: TerminalId, ohms: number, kindNumber: number): void {
    const kind = KINDS[kindNumber % KINDS.length]!;
    const impedance = OHMS[ohms % OHMS.length]!;
    const memory = this.#inputs.find(({ sketch }) => sketch.kind === "heat-memory");
    const warms = kind === "resistor" && memory !== undefined && ohms % 2 === 1;
    const load = this.#out.load(`R${this.#loads.length}`, kind, a, b, warms ? [impedance, undefined] : impedance, {
      ...(kind !== "resistor" && { ratedVolts: kindNumber % 4 === 3 ? 240 : 120 }),
      ...(kind === "lamp" && { inrush: { re: impedance.re / 10, im: impedance.im } }),
      ...(warms && { control: memory.control }),
      scale: kind === "coil" ? SCALES.coil : kind === "drive" ? SCALES.drive : SCALES.plain,
    });
    this.#loads.push(load);
  }

  /** Contacts that lead from a leg to what they feed; `hold` lies across the first of them, as in push to start. */
  #feed(parts: readonly Element[], hold: Literal | undefined): TerminalId {
    const end = this.#joint();
    const start = this.#out.L1;
    this.#chain(start, end, parts.length > 0 ? parts : [{ type: "contact", use: { control: 0, mask: 0 } }]);
    if (hold) this.#out.contact(start, end, hold, "hold");
    return end;
  }

  #relay(relay: RelaySketch, control: ControlId): void {
    if (relay.kind === "latch") {
      const sets = this.#inputLiteral(relay.use);
      const clears = this.#inputLiteral(relay.use, true);
      if (!sets || !clears) this.#out.follows(control, { rule: "latch", sets: [], clears: [[]] });
      // Clearing asks for more than the opposite of setting, so that there is something to remember.
      else
        this.#out.follows(control, {
          rule: "latch",
          sets: [[sets]],
          clears: [[clears, this.#inputLiteral({ ...relay.use, control: relay.ohms })!]],
        });
      return;
    }
    const hold = relay.hold ? this.#out.in(control, 1) : undefined;
    const fed = this.#feed(relay.feed, hold);
    const to = this.#otherEnd(this.#out.L1, relay.to);
    const coil = (far: TerminalId, ohms: Complex): LoadId =>
      this.#out.load(`coil${control}`, "coil", fed, far, ohms, { ratedVolts: 120, scale: SCALES.coil });
    switch (relay.kind) {
      case "coil":
        this.#out.follows(control, { rule: "coil", load: coil(to, { re: 700, im: 900 }) });
        return;
      case "current": {
        const far = this.#joint();
        const load = this.#out.load(`coil${control}`, "coil", fed, far, { re: 0.1, im: 0.2 });
        this.#plainLoad(far, to, relay.ohms, 2);
        const other = this.#joint();
        this.#out.contact(far, other, this.#literal(relay.use));
        this.#plainLoad(other, to, relay.ohms + 1, 2);
        this.#out.follows(control, { rule: "current", load, pullsIn: 7, dropsOut: 4 });
        return;
      }
      case "seat": {
        const boosted = this.#joint();
        const holds = coil(to, { re: 900, im: 700 });
        this.#out.contact(fed, boosted, this.#literal(relay.use));
        const boosts = this.#out.load(
          `boost${control}`,
          "coil",
          boosted,
          to,
          { re: 500, im: 300 },
          { ratedVolts: 120, scale: SCALES.coil },
        );
        this.#out.follows(control, {
          rule: "seat",
          opens: [
            { load: holds, atLeast: "works" },
            { load: boosts, atLeast: "works" },
          ],
          stays: [{ load: holds, atLeast: "weak" }],
        });
      }
    }
  }

  #inputLiteral(one: Use, inverse = false): Literal | undefined {
    const input = this.#inputs[one.control % Math.max(1, this.#inputs.length)];
    if (!input) return undefined;
    const index = this.#usable.findIndex(({ control }) => control === input.control);
    return this.#literal({ control: index, mask: one.mask }, inverse);
  }

  #motor(motor: MotorSketch, control: ControlId): void {
    const out = this.#out;
    const running = motor.reversing ? [2, 3] : [2];
    const fed = this.#feed(motor.feed, motor.hold ? out.in(control, ...running) : undefined);
    const to = this.#otherEnd(out.L1, motor.to);
    const perPosition = (locked: Complex, turning: Complex | undefined): (Complex | undefined)[] => [
      locked,
      locked,
      ...running.map(() => turning),
    ];
    const winding = (name: string, a: TerminalId, amps: number, locked: number): LoadId =>
      out.load(
        `${name}${control}`,
        "winding",
        a,
        to,
        perPosition(drawing(120, locked, 0.62), drawing(120, amps, 0.62)),
        {
          ratedVolts: 120,
          control,
          inrush: drawing(120, locked, 0.62),
          scale: SCALES.motor,
        },
      );
    const mains = [winding("main", fed, 5.2, 22)];
    if (motor.slow) {
      const slow = this.#joint();
      out.contact(this.#joints[0] ?? fed, slow, this.#literal(motor.use));
      mains.push(winding("slow", slow, 3, 11));
    }
    const starts: LoadId[] = [];
    if (motor.start !== "none") {
      const near = this.#joint();
      if (motor.start === "capacitor") out.load(`cap${control}`, "capacitor", fed, near, { re: 0, im: -60 });
      else if (motor.start === "direct") out.contact(fed, near, [[]]);
      else out.contact(fed, near, motor.start === "contact" ? this.#literal(motor.use) : out.in(control, 0, 1));
      let a = near;
      let b = to;
      if (motor.reversing) {
        a = this.#joint();
        b = this.#joint();
        out.contact(near, a, this.#literal(motor.use));
        out.contact(near, b, this.#literal(motor.use, true));
        out.contact(b, to, this.#literal(motor.use));
        out.contact(a, to, this.#literal(motor.use, true));
      }
      const locked = drawing(120, 9, 0.9);
      const turning = motor.start === "capacitor" ? { re: 40, im: 90 } : locked;
      starts.push(
        out.load(`start${control}`, "start-winding", a, b, perPosition(locked, turning), {
          ratedVolts: 120,
          control,
          inrush: locked,
          scale: SCALES.motor,
        }),
      );
    }
    out.follows(control, {
      rule: "motor",
      mains,
      starts,
      leastTorque: 0.1,
      ...(motor.reversing && { leftSign: 1 as const }),
    });
  }

  #rules(control: ControlId, sketch: InputSketch): void {
    const { positions: length } = this.#usable.find((one) => one.control === control)!;
    const every = Array.from({ length }, (_, position) => position);
    const rule = (from: readonly number[], to: readonly number[], more: Partial<ChangeRule> = {}): ChangeRule => ({
      from: this.#out.mask(control, from),
      to: this.#out.mask(control, to),
      words: `${sketch.kind} to {position}`,
      ...more,
    });
    const energised = (atLeast: "weak" | "works", offset = 0): Partial<ChangeRule> =>
      this.#loads.length === 0 || sketch.load % 3 === 0
        ? {}
        : { needs: [[{ load: this.#loads[(sketch.load + offset) % this.#loads.length]!, atLeast }]] };
    const unfed: Partial<ChangeRule> =
      this.#loads.length === 0
        ? {}
        : { unless: [{ load: this.#loads[sketch.load % this.#loads.length]!, atLeast: "weak" }] };
    const rules: Record<Exclude<InputSketch["kind"], "free">, () => ChangeRule[]> = {
      timer: () => [
        rule(every, every, { by: 1, ...energised("works") }),
        rule(every, every, { by: 1, byHand: true, when: [[this.#literal(sketch.other)]] }),
      ],
      thermal: () => [rule([0], [1], energised("weak")), rule([1], [0])],
      level: () => [
        rule([0, 1], [1, 2], { by: 1, ...energised("works") }),
        rule([1, 2], [0, 1], { by: -1, ...energised("works", 1) }),
        rule([2], [0], { byHand: true }),
      ],
      button: () => [rule([0], [1], { when: [[this.#literal(sketch.other)]] }), rule([1], [0])],
      "one-shot": () => [rule([0], [1], energised("weak"))],
      "heat-memory": () => [rule([0], [1], energised("weak")), rule([1], [0], unfed)],
    };
    if (sketch.kind !== "free") this.#changes.get(control)!.push(...rules[sketch.kind]());
  }
}
