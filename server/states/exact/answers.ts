/**
 * Answers that stay good from one analysis to the next: found again by the content of all that they depend on (sets, joints,
 * kinds and volts of the loads near by, moves), never by names or ids alone.
 */

import type { Circuit } from "../../circuit/circuit.ts";
import type { Condition, ContactId, LoadId } from "../../machine/machine.ts";
import type { Extremes, Note } from "../engine.ts";
import { FULL, type StateSet } from "./diagram.ts";
import { IntTable } from "./int-table.ts";
import { Kept } from "./kept.ts";
import type { LoadWork } from "./load-sets.ts";
import type { Neighbourhood } from "./looks.ts";
import { PathStore } from "./path.ts";
import type { Reach } from "./reach.ts";
import type { StepStore } from "./steps.ts";
import type { LoadView } from "./targets.ts";

export class AnswerStore {
  readonly answers = new Kept<Extremes>(MOST_ANSWERS);
  /** Numbers of longer contents: cells of a load, moves, inrush, controls. */
  readonly contents = new IntTable();
  readonly controls = new Map<string, number>();
  /** Plain statements of sets, by the controls that they speak of. */
  readonly statements = new Map<string, Condition | undefined>();
  /** What others noted about loads, by content and question; the latest last. */
  readonly notes = new Map<string, unknown>();
  readonly paths = new PathStore();
  readonly steps: StepStore = new Kept(MOST_STEPS);
}

/** An analysis asks a few hundred questions. */
const MOST_ANSWERS = 4_000;
/** Notes beyond so many are forgotten, the oldest first. */
const MOST_NOTES = 4_000;
const MOST_STATEMENTS = 1_000;
/** Sets of states from which all steps are kept. */
const MOST_STEPS = 100;

function forgetOldest(kept: Map<string, unknown>, most: number): void {
  for (const oldest of kept.keys()) {
    if (kept.size <= most) return;
    kept.delete(oldest);
  }
}

/** Numbers longer contents, so that keys stay short. */
function numberOf(store: AnswerStore, content: ArrayLike<number>): number {
  const found = store.contents.intern(content, 0, content.length);
  return found >= 0 ? found : -1 - found;
}

const floats = new Float64Array(2);
const ints = new Int32Array(floats.buffer);

export class Answers {
  private readonly store: AnswerStore;
  private readonly work: LoadWork;
  /** Number of everything that questions of this machine have in common: controls, moves and what can be reached. */
  readonly common: number;
  /** Number of its controls by their names and positions. */
  private readonly controls: number;
  private readonly loads: number[];
  private readonly contacts: number[];
  /** Content of a contact that is always closed: what stands for a supply leg's lead or a wire. */
  private readonly always: number;
  private readonly key: number[] = [];
  private readonly contentNumbers = new Map<Neighbourhood, number>();
  private allContacts: Neighbourhood | undefined;

  constructor(store: AnswerStore, work: LoadWork, view: LoadView, reached: Reach, shorted: StateSet) {
    this.store = store;
    this.work = work;
    const { circuit, space, closed, typeOf, live } = work;
    const { machine } = circuit;
    // States are told as positions in the order of the controls: the controls must be the same ones.
    const names = machine.controls.map(({ name, positions, rest }) => `${name} ${positions.length} ${rest}`).join("\n");
    let controls = store.controls.get(names);
    if (controls === undefined) store.controls.set(names, (controls = store.controls.size));
    this.controls = controls;
    const content = [controls, live, shorted, reached.atRest, reached.passing, reached.stable];
    for (const { control, relation, guard } of reached.inputs) content.push(control, relation, guard);
    for (const { control, relation, wants } of reached.settling) content.push(control, relation, wants);
    for (let leg = 0; leg < circuit.legRe.length; leg++) pushFloats(content, circuit.legRe[leg]!, circuit.legIm[leg]!);
    this.common = numberOf(store, content);
    this.loads = machine.loads.map((load) => {
      const inside = [typeOf[load.id]!, load.control === undefined ? -1 : space.level[load.control]!];
      pushFloats(inside, load.inrush?.re ?? Number.NaN, load.inrush?.im ?? Number.NaN);
      inside.push(view.sets.contents[load.id]!);
      return numberOf(store, inside);
    });
    const ofContact = (set: StateSet, ohms: number, leaks: number): number => {
      const inside = [set];
      pushFloats(inside, ohms, leaks);
      return numberOf(store, inside);
    };
    this.contacts = machine.contacts.map(({ id, ohms, leaks }) => ofContact(closed[id]!, ohms, leaks ?? 0));
    this.always = ofContact(FULL, 0, 0);
  }

  /**
   * The answer to a question, worked out only when nothing like it was asked before.
   *
   * @param subject what is asked about; `only`: loads that alone count
   * @param near everything that the answer depends on besides
   * @param circuit where joints are looked up: contacts past those of the machine are always closed
   */
  ask(
    code: number,
    care: StateSet,
    subject: { readonly contact?: ContactId; readonly load?: LoadId; readonly only?: readonly LoadId[] | undefined },
    near: Neighbourhood,
    answer: () => Extremes,
    circuit = this.work.circuit,
  ): Extremes {
    const { key } = this;
    key.length = 0;
    key.push(this.common, code, care);
    if (circuit === this.work.circuit) {
      // The neighbourhood by its number, the subject by its place in it.
      const contact = subject.contact === undefined ? -1 : near.contacts.indexOf(subject.contact);
      const load = subject.load === undefined ? -1 : near.loads.indexOf(subject.load);
      key.push(-4, this.contentOf(near), contact, load);
      for (const term of circuit.machine.contacts[subject.contact ?? -1]?.closed ?? [])
        for (const { control } of term) key.push(control);
      if (subject.only) {
        key.push(-5);
        for (const one of subject.only) {
          const at = near.loads.indexOf(one);
          if (at >= 0) key.push(at);
        }
      }
      return this.kept(answer);
    }
    const writer = this.writer(circuit);
    if (subject.contact !== undefined) {
      writer.contact(subject.contact);
      const moved = circuit.machine.contacts[subject.contact]!.closed.flatMap((term) => term.map((one) => one.control));
      key.push(-1, ...new Set(moved));
    }
    if (subject.load !== undefined) writer.load(subject.load);
    key.push(-2);
    near.contacts.forEach(writer.contact);
    key.push(-3);
    near.loads.forEach(writer.load);
    return this.kept(answer);
  }

  /**
   * The answer about a load whose volts are told in every state, and who has ohms: what it is and what all questions have in common decide,
   * whatever stands near it.
   */
  askToldLoad(code: number, care: StateSet, load: LoadId, answer: () => Extremes): Extremes {
    const { key } = this;
    key.length = 0;
    // Keys of other questions begin with a number from -1 on.
    key.push(-2, this.common, code, care, this.loads[load]!);
    return this.kept(answer);
  }

  /**
   * What the current of a contact hangs on where it is a sum over loads, as a key of its own: the connections and those loads, whatever the
   * others near by draw.
   *
   * @param frame number of the connections
   * @param loads the loads of the sum
   * @param besides all else that decides
   */
  keyOfSum(
    code: number,
    care: StateSet,
    contact: ContactId,
    only: readonly LoadId[] | undefined,
    frame: number,
    loads: readonly LoadId[],
    besides: readonly number[],
  ): readonly number[] {
    const key: number[] = [];
    // Keys of other questions begin with a number from 0 on.
    key.push(-1, this.common, frame, code, care, contact);
    for (const term of this.work.circuit.machine.contacts[contact]!.closed)
      for (const { control } of term) key.push(control);
    key.push(-2);
    if (only) key.push(...only);
    key.push(only ? -3 : -4);
    for (const load of loads) key.push(this.loads[load]!);
    key.push(-5, ...besides);
    return key;
  }

  find(key: readonly number[]): Extremes | undefined {
    return this.store.answers.find(key);
  }

  keep(key: readonly number[], answer: Extremes): void {
    this.store.answers.keep(key, answer);
  }

  /** The answer to what the key says. */
  private kept(answer: () => Extremes): Extremes {
    const { key, store } = this;
    return store.answers.of(key, answer);
  }

  /** Writes contacts and loads into a key: what they are, and how they hang together, joints numbered as they are met. */
  private writer(circuit: Circuit, key: number[] = this.key): { contact(id: ContactId): void; load(id: LoadId): void } {
    const local = new Map<number, number>();
    for (let leg = 0; leg < circuit.legJoint.length; leg++) local.set(circuit.legJoint[leg]!, leg);
    let next = circuit.legJoint.length;
    const joint = (global: number): void => {
      let number = local.get(global);
      if (number === undefined) local.set(global, (number = next++));
      key.push(number);
    };
    return {
      contact: (id) => {
        key.push(this.contacts[id] ?? this.always);
        joint(circuit.contactA[id]!);
        joint(circuit.contactB[id]!);
      },
      load: (id) => {
        key.push(this.loads[id]!);
        joint(circuit.loadA[id]!);
        joint(circuit.loadB[id]!);
      },
    };
  }

  /**
   * A statement of a set with what it may take in; the same controls say the same of the same sets. `undefined`: it takes too many ways.
   *
   * @param how all else that decides it
   */
  statement(
    inside: StateSet,
    outside: StateSet,
    how: string,
    work: () => Condition | undefined,
  ): Condition | undefined {
    const { statements } = this.store;
    const key = `${this.controls} ${inside} ${outside} ${how}`;
    if (statements.has(key)) return statements.get(key);
    const statement = work();
    statements.set(key, statement);
    forgetOldest(statements, MOST_STATEMENTS);
    return statement;
  }

  /** A place to note what was worked out from a neighbourhood; the same one as long as nothing there changes, ids included. */
  noteAbout(near: Neighbourhood | "contacts", what: string): Note {
    const { notes } = this.store;
    if (near === "contacts")
      this.allContacts ??= { contacts: this.work.circuit.machine.contacts.map(({ id }) => id), loads: [] };
    const around = near === "contacts" ? this.allContacts! : near;
    const key = `${this.common} ${this.contentOf(around)} ${around.contacts} ${around.loads} ${what}`;
    return {
      read: () => notes.get(key),
      write: (value) => {
        notes.delete(key);
        notes.set(key, value);
        forgetOldest(notes, MOST_NOTES);
      },
    };
  }

  /** A number for what a neighbourhood is and how it hangs together, ids left out. */
  private contentOf(near: Neighbourhood): number {
    const known = this.contentNumbers.get(near);
    if (known !== undefined) return known;
    const { store } = this;
    const content: number[] = [];
    const writer = this.writer(this.work.circuit, content);
    near.contacts.forEach(writer.contact);
    content.push(-1);
    near.loads.forEach(writer.load);
    const number = numberOf(store, content);
    this.contentNumbers.set(near, number);
    return number;
  }
}

function pushFloats(into: number[], a: number, b: number): void {
  floats[0] = a;
  floats[1] = b;
  into.push(ints[0]!, ints[1]!, ints[2]!, ints[3]!);
}
