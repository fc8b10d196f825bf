/**
 * Writes a machine straight into the data structure, without text: every terminal is a joint of its own, so that a test
 * reads as a list of edges. Used by the hand-solved cases and by the random machines.
 */
import type {
  ChangeRule,
  Complex,
  Condition,
  Contact,
  ContactId,
  Control,
  ControlId,
  ControlRole,
  Literal,
  Load,
  LoadId,
  LoadKind,
  Machine,
  SettledRule,
  SupplyLeg,
  Terminal,
  TerminalId,
} from "../../server/machine/machine.ts";

const NOWHERE = { file: "test.camleaf", from: 0, to: 0 };

/** Bounds by kind of load, trade judgement (from memory, no published source but the 85 % of IEC 60947-4-1 for coils). */
export const SCALES = {
  coil: { weak: 0.2, works: 0.85, over: 1.1 },
  motor: { weak: 0.2, works: 0.6, over: 1.1 },
  drive: { weak: 0.1, works: 0.7, over: 1.1 },
  plain: { weak: 0.1, works: 0.5, over: 1.1 },
} as const;

/** Impedance that draws `amps` at `volts` with the power factor, lagging. */
export function drawing(volts: number, amps: number, powerFactor = 1): Complex {
  const ohms = volts / amps;
  return { re: ohms * powerFactor, im: ohms * Math.sqrt(1 - powerFactor * powerFactor) };
}

export interface LoadOptions {
  readonly ratedVolts?: number;
  readonly control?: ControlId;
  readonly inrush?: Complex;
  readonly scale?: Load["scale"];
}

export interface ControlOptions {
  readonly role?: ControlRole;
  readonly rest?: number;
  readonly changes?: readonly ChangeRule[];
}

export class MachineWriter {
  readonly #terminals: Terminal[] = [];
  readonly #controls: Control[] = [];
  readonly #contacts: Contact[] = [];
  readonly #loads: Load[] = [];
  readonly #rules = new Map<ControlId, SettledRule>();
  readonly #legs: SupplyLeg[] = [];
  readonly supply: ControlId;
  readonly L1: TerminalId;
  readonly N: TerminalId;
  /** Second live leg; the neutral again on a supply that has none. */
  readonly L2: TerminalId;

  constructor(supply: "120 V" | "120/240 V" = "120 V") {
    const leg = (name: string, volts: number): TerminalId => {
      const terminal = this.joint(name);
      this.#legs.push({ name, terminal, volts: { re: volts, im: 0 }, role: volts === 0 ? "neutral" : "live" });
      return terminal;
    };
    this.L1 = leg("L1", 120);
    this.N = leg("N", 0);
    this.L2 = supply === "120 V" ? this.N : leg("L2", -120);
    this.supply = this.input("SUPPLY", ["on", "off"], { role: "supply" });
  }

  joint(name = `j${this.#terminals.length}`): TerminalId {
    const id = this.#terminals.length;
    this.#terminals.push({ id, part: 0, name, fullName: name, place: NOWHERE });
    return id;
  }

  input(name: string, positions: readonly string[], options: ControlOptions = {}): ControlId {
    return this.#control(name, positions, false, { role: "switch", ...options });
  }

  /** A settled control; its rule is given later by `follows`, when its loads exist. */
  settled(name: string, positions: readonly string[], role: ControlRole = "relay"): ControlId {
    return this.#control(name, positions, true, { role });
  }

  follows(control: ControlId, rule: SettledRule): void {
    this.#rules.set(control, rule);
  }

  /** Mask over the positions of a control. */
  mask(control: ControlId, positions: readonly number[]): Uint8Array {
    return Uint8Array.from(this.#controls[control]!.positions, (_, position) => (positions.includes(position) ? 1 : 0));
  }

  in(control: ControlId, ...positions: number[]): Literal {
    return { control, positions: this.mask(control, positions) };
  }

  /** Closed in the given positions of one control, or by a whole condition. */
  contact(a: TerminalId, b: TerminalId, closed: Literal | Condition, name?: string, partner?: ContactId): ContactId {
    const id = this.#contacts.length;
    this.#contacts.push({
      id,
      part: 0,
      name: name ?? `C${id}`,
      a,
      b,
      closed: "control" in closed ? [[closed]] : closed,
      role: "switching",
      ratings: [],
      ohms: 0,
      ...(partner !== undefined && { partner }),
      place: NOWHERE,
      namePlace: NOWHERE,
    });
    if (partner !== undefined) this.#contacts[partner] = { ...this.#contacts[partner]!, partner: id };
    return id;
  }

  /** `impedance`: one for all positions, or one per position of `options.control`. */
  load(
    name: string,
    kind: LoadKind,
    a: TerminalId,
    b: TerminalId,
    impedance: Complex | readonly (Complex | undefined)[],
    options: LoadOptions = {},
  ): LoadId {
    const id = this.#loads.length;
    this.#loads.push({
      id,
      part: 0,
      name,
      kind,
      a,
      b,
      impedance: "re" in impedance ? [impedance] : impedance,
      known: true,
      scale: SCALES.plain,
      needsProtector: false,
      alsoAt: [],
      through: [],
      place: NOWHERE,
      namePlace: NOWHERE,
      ...options,
    });
    return id;
  }

  machine(label = "test machine"): Machine {
    const controls = this.#controls.map((control) => ({ ...control, rule: this.#rules.get(control.id) }));
    return {
      label,
      file: NOWHERE.file,
      tree: { from: 0, to: 0, text: "", statements: [], comments: [], errors: [], tokens: [] },
      place: NOWHERE,
      supply: {
        part: 0,
        text: this.#legs.length > 2 ? "120/240 V 60 Hz" : "120 V 60 Hz",
        form: this.#legs.length > 2 ? "split" : "single",
        legs: this.#legs,
        frequency: 60,
        reversible: false,
        control: this.supply,
        stated: true,
        place: NOWHERE,
      },
      parts: [
        {
          id: 0,
          name: "all",
          kind: "splice",
          place: NOWHERE,
          namePlace: NOWHERE,
          terminals: this.#terminals.map(({ id }) => id),
          controls: controls.map(({ id }) => id),
          contacts: this.#contacts.map(({ id }) => id),
          loads: this.#loads.map(({ id }) => id),
          marks: [],
          plate: [],
        },
      ],
      terminals: this.#terminals,
      wires: [],
      controls,
      contacts: this.#contacts,
      loads: this.#loads,
      transformers: [],
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

  #control(
    name: string,
    positions: readonly string[],
    settled: boolean,
    options: ControlOptions & { role: ControlRole },
  ): ControlId {
    const id = this.#controls.length;
    this.#controls.push({
      id,
      part: 0,
      name,
      positions: positions.map((position) => ({ name: position })),
      rest: 0,
      settled,
      place: NOWHERE,
      ...options,
    });
    return id;
  }
}

/** The machine as lines of text, for reports of failing random machines. */
export function describeMachine(machine: Machine): string {
  const point = (terminal: TerminalId): string => machine.terminals[terminal]!.name;
  const mask = (positions: Uint8Array): string =>
    positions.reduce((text, bit, at) => (bit ? `${text} ${at}` : text), "in");
  const condition = (terms: Condition): string =>
    terms
      .map((term) => term.map((one) => `${machine.controls[one.control]!.name} ${mask(one.positions)}`).join(", "))
      .join(" or when ") || "never";
  const ohms = (value: Complex | undefined): string =>
    value ? `${value.re.toFixed(2)}+${value.im.toFixed(2)}j` : "none";
  const rule = (one: ChangeRule): string =>
    [
      `${mask(one.from)} -> ${mask(one.to)}`,
      one.by !== undefined && `by ${one.by}`,
      one.needs &&
        `needs ${one.needs.map((all) => all.map((test) => `${machine.loads[test.load]!.name} ${test.atLeast}`).join(" and ")).join(" or ")}`,
      one.unless &&
        `unless ${one.unless.map((test) => `${machine.loads[test.load]!.name} ${test.atLeast}`).join(" or ")}`,
      one.when && `when ${condition(one.when)}`,
    ]
      .filter(Boolean)
      .join(" ");
  return [
    machine.supply.text,
    ...machine.controls.map(
      (control) =>
        `${control.settled ? "settled" : "input"} ${control.name} ${control.positions.length} positions, rest ${control.rest} ` +
        (control.settled ? JSON.stringify(control.rule) : (control.changes?.map(rule).join("; ") ?? "free")),
    ),
    ...machine.contacts.map(
      (contact) => `contact ${contact.name} ${point(contact.a)} to ${point(contact.b)} ${condition(contact.closed)}`,
    ),
    ...machine.loads.map(
      (load) =>
        `load ${load.name} ${point(load.a)} to ${point(load.b)} ${load.impedance.map(ohms).join(" | ")} ohm, ` +
        `${load.ratedVolts ?? "?"} V, weak ${load.scale.weak} works ${load.scale.works}` +
        (load.control === undefined ? "" : `, by ${machine.controls[load.control]!.name}`) +
        (load.inrush ? `, inrush ${ohms(load.inrush)}` : ""),
    ),
  ].join("\n");
}
