/** The chosen state of every machine of every open document, kept by names so that edits of the text leave it standing. */
import { Beside } from "../base/beside.ts";
import type { ChosenState, StateWish } from "../base/chosen-state.ts";
import {
  defaultState,
  grant,
  type NamedState,
  namedState,
  positionsOfNames,
  stateOfNames,
} from "../editor/chosen-state.ts";
import { nothingYet, stateReadout } from "../editor/state-readout.ts";
import type { FileView, MachineView } from "../editor/view.ts";
import type { MachineState } from "../machine/machine.ts";
import type { Engine } from "../states/engine.ts";
import type { Snapshot } from "./snapshot.ts";

export class ChosenStates {
  /** By file and machine label. */
  readonly #names = new Map<string, Map<string, NamedState>>();
  /** What was shown last, chosen or not: what a picture goes by while an edit is still looked at. */
  readonly #shown = new Map<string, Map<string, NamedState>>();
  readonly #defaults = new Beside<Engine, MachineState>();

  /** True once a person has asked for a state of this machine. */
  wasChosen(file: string, machine: MachineView): boolean {
    return this.#names.get(file)?.has(machine.machine.label) ?? false;
  }

  /** The state that numbers speak of; undefined while the every-state analysis runs. */
  stateOf(file: string, { machine, engine }: MachineView): MachineState | undefined {
    if (!engine) return undefined;
    const names = this.#names.get(file)?.get(machine.label);
    const state = (names && stateOfNames(engine, names)) ?? this.#default(engine);
    keepIn(this.#shown, file, machine.label, namedState(machine, state));
    return state;
  }

  /**
   * Before the every-state analysis of an edited text: the positions shown last, which most edits leave possible. Undefined when
   * nothing was shown yet or a name is gone.
   */
  likely(file: string, { machine }: MachineView): MachineState | undefined {
    const names = this.#names.get(file)?.get(machine.label) ?? this.#shown.get(file)?.get(machine.label);
    return names && positionsOfNames(machine, names);
  }

  forget(file: string): void {
    this.#names.delete(file);
    this.#shown.delete(file);
  }

  /** The state as data, after the wish when there is one. `undefined` when the file has no such machine. */
  read(
    snapshot: Snapshot | (FileView & { readonly version: number }),
    index: number,
    wish?: StateWish,
  ): ChosenState | undefined {
    const view = snapshot.machines[index];
    if (!view) return undefined;
    const { machine, engine } = view;
    const frame = {
      machine: machine.label,
      index,
      machines: snapshot.machines.map((one) => one.machine.label),
      version: snapshot.version,
    };
    const state = this.stateOf(snapshot.file, view);
    if (!engine || !state) return { ...frame, ready: false, ...nothingYet };
    const granted = wish ? grant(engine, state, wish) : { state };
    if ("refused" in granted)
      return { ...frame, ready: true, ...stateReadout(engine, state), refused: granted.refused };
    if (wish) keepIn(this.#names, snapshot.file, machine.label, namedState(machine, granted.state));
    const remark = "remark" in granted && granted.remark !== undefined ? { remark: granted.remark } : {};
    return { ...frame, ready: true, ...remark, ...stateReadout(engine, granted.state) };
  }

  #default(engine: Engine): MachineState {
    const known = this.#defaults.get(engine);
    if (known) return known;
    const found = defaultState(engine);
    this.#defaults.set(engine, found);
    return found;
  }
}

function keepIn(all: Map<string, Map<string, NamedState>>, file: string, label: string, names: NamedState): void {
  const machines = all.get(file) ?? new Map<string, NamedState>();
  machines.set(label, names);
  all.set(file, machines);
}
