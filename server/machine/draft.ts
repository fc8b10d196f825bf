/** A machine while it is put together: growing arrays, names, and the findings met on the way. */
import type { Item, TextNode, Tree } from "../../grammar/tree.ts";
import type { Finding, Gravity } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import type {
  Contact,
  ContactId,
  Control,
  ControlId,
  Expectation,
  Guard,
  Load,
  LoadId,
  Mention,
  PartId,
  Supply,
  SupplyLeg,
  Target,
  Terminal,
  TerminalId,
  TimerProgram,
  Transformer,
  Wire,
} from "./machine.ts";

/** The same shape, open for writing. */
export type Open<T> = { -readonly [K in keyof T]: T[K] };

/** A node and the file that its offsets count in (items of a `type` may stand in another file than the part). */
export interface InFile<T> {
  readonly node: T;
  readonly file: string;
}

/** A part while it is put together. */
export interface PartDraft {
  readonly id: PartId;
  readonly name: string;
  readonly kind: string;
  readonly label?: string;
  readonly type?: string;
  readonly place: Place;
  readonly namePlace: Place;
  readonly items: readonly InFile<Item>[];
  readonly terminals: TerminalId[];
  readonly controls: ControlId[];
  readonly contacts: ContactId[];
  readonly loads: LoadId[];
  readonly marks: string[];
  readonly plate: string[];
  at?: string;
  frame?: TerminalId;
  poles?: number;
  horsepower?: number;
  moves?: { readonly label: string; readonly turning?: string };
  readonly terminalNames: Map<string, TerminalId>;
  readonly contactNames: Map<string, ContactId[]>;
  readonly loadNames: Map<string, LoadId>;
  /** In at the first, out at the second, when a chain runs through the part. */
  through?: readonly [TerminalId, TerminalId];
  /** Named by a condition, guard or expectation: not an idle part. */
  referred: boolean;
  /** A wire that names it and joins nothing, because it is not finished or names something unknown: told there. */
  lostWire?: Place;
}

/** A thermal control that opens by heat at a stated temperature, and where it sits. */
export interface SeatedThermal {
  readonly control: ControlId;
  readonly opensAt: number;
  readonly closesAt?: number;
  readonly resets: "self" | "hand" | "never";
}

export interface FindingWords {
  readonly what: string;
  readonly advice: string;
  readonly why?: string;
  readonly related?: Finding["related"];
  readonly fixes?: Finding["fixes"];
  readonly unused?: boolean;
}

export class Draft {
  readonly parts: PartDraft[] = [];
  readonly partNames = new Map<string, PartDraft>();
  readonly controlNames = new Map<string, ControlId>();
  readonly terminals: Terminal[] = [];
  readonly wires: Wire[] = [];
  readonly controls: Open<Control>[] = [];
  readonly contacts: Open<Contact>[] = [];
  readonly loads: Open<Load>[] = [];
  readonly transformers: Transformer[] = [];
  readonly programs: TimerProgram[] = [];
  readonly guards: Guard[] = [];
  readonly expectations: Expectation[] = [];
  readonly mentions: Mention[] = [];
  readonly findings: Finding[] = [];
  readonly legs: SupplyLeg[] = [];
  readonly legNames = new Map<string, TerminalId>();
  supply!: Supply;
  /** Parts whose motion some condition names: these motors need a control. */
  readonly motions = new Set<string>();
  /** Parts that some condition names at all. */
  readonly conditioned = new Set<string>();
  /** Thermal controls by the place they sit at, for ordering. */
  readonly thermalPlaces = new Map<string, SeatedThermal[]>();
  private readonly told = new Set<string>();
  private readonly closures: (() => void)[][] = [[], [], []];
  readonly file: string;
  readonly tree: Tree;

  constructor(file: string, tree: Tree) {
    this.file = file;
    this.tree = tree;
  }

  /** Runs after every part is declared, when all names are known; each phase after the one before. */
  later(run: () => void, phase: 0 | 1 | 2 = 0): void {
    this.closures[phase]!.push(run);
  }

  /** True while something has yet to be run. */
  get waits(): boolean {
    return this.closures.some(({ length }) => length > 0);
  }

  runLater(): void {
    for (const phase of this.closures) for (const run of phase) run();
  }

  place(node: TextNode, file = this.file): Place {
    return { file, from: node.from, to: node.to };
  }

  find(id: string, gravity: Gravity, place: Place, words: FindingWords): void {
    const key = `${id} ${place.file} ${place.from} ${place.to}`;
    if (this.told.has(key)) return;
    this.told.add(key);
    this.findings.push({ id, gravity, place, related: [], ...words });
  }

  mention(place: Place, target: Target, defines = false): void {
    if (place.to > place.from) this.mentions.push({ place, target, defines });
  }

  addTerminal(part: PartDraft, name: string, place: Place, fullName = `${part.name}.${name}`): TerminalId {
    const known = part.terminalNames.get(name);
    const id = known ?? this.terminals.length;
    if (known === undefined) {
      this.terminals.push({ id, part: part.id, name, fullName, place });
      part.terminals.push(id);
      part.terminalNames.set(name, id);
    }
    return id;
  }

  addControl(part: PartDraft, control: Omit<Control, "id" | "part">): ControlId {
    const id = this.controls.length;
    // Names stay unique even in texts that are wrong (two coils, two quick cams), since they name states.
    let name = control.name;
    for (let number = 2; this.controlNames.has(name); number++) name = `${control.name}-${number}`;
    this.controlNames.set(name, id);
    this.controls.push({ id, part: part.id, ...control, name });
    part.controls.push(id);
    return id;
  }

  addContact(part: PartDraft, contact: Omit<Contact, "id" | "part">, shortName?: string): ContactId {
    const id = this.contacts.length;
    this.contacts.push({ id, part: part.id, ...contact });
    part.contacts.push(id);
    if (shortName !== undefined) part.contactNames.set(shortName, [...(part.contactNames.get(shortName) ?? []), id]);
    return id;
  }

  addLoad(part: PartDraft, load: Omit<Load, "id" | "part">, shortName?: string): LoadId {
    const id = this.loads.length;
    this.loads.push({ id, part: part.id, ...load });
    part.loads.push(id);
    if (shortName !== undefined) part.loadNames.set(shortName, id);
    return id;
  }

  addWire(wire: Omit<Wire, "id">): void {
    if (wire.a !== wire.b) this.wires.push({ id: this.wires.length, ...wire });
  }

  /** Volts of the supply that a part without stated volts may count on, when there is but one. */
  plainVolts(): number | undefined {
    return this.supply.form === "single" && this.supply.stated ? Math.hypot(this.legs[0]?.volts.re ?? 0, 0) : undefined;
  }

  /** The most volts between two legs: a load of which no volts are known takes least when it is made for them. */
  mostVolts(): number {
    const between = this.legs.flatMap((a) =>
      this.legs.map((b) => Math.hypot(a.volts.re - b.volts.re, a.volts.im - b.volts.im)),
    );
    return Math.max(0, ...between) || 120;
  }
}

/** The part's own name tokens that are not names of other things. */
export function otherNames(draft: Draft): string[] {
  return [...draft.partNames.keys(), ...draft.legNames.keys()];
}
