/** A proposal beside its machine: the verdict as rows that lead to the text, and both drawings in a state that shows a row. */
import type { Finding, ShownState } from "../base/finding.ts";
import { shownStateText } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import { toldState } from "../checks/ask.ts";
import { contactName, loadName } from "../checks/words.ts";
import { describeState } from "../machine/index.ts";
import type { Machine, MachineState } from "../machine/machine.ts";
import { drawCircuit } from "../pictures/drawing.ts";
import { drawingStyle } from "../pictures/drawing-svg.ts";
import { markedDrawingSvg, markedStyle } from "../pictures/marked-drawing.ts";
import { type Applied, applyProposal } from "../proposals/apply.ts";
import { changedPaths } from "../proposals/changed-paths.ts";
import type { Comparison } from "../proposals/compare.ts";
import type { Fit } from "../proposals/fit.ts";
import type { VerdictLine, Weight } from "../proposals/verdict.ts";
import type { Engine } from "../states/engine.ts";
import { defaultState, namedState, positionsOfNames, stateOfNames } from "./chosen-state.ts";
import type { DrawingLook } from "./pictures.ts";
import type { FileView, ProposalView } from "./view.ts";

export interface ComparedRow {
  readonly weight: Weight;
  readonly text: string;
  readonly state?: string;
  /** What it is about: in the proposal, else in the machine's text. */
  readonly place?: Place;
  /** The contact or load that it speaks of. */
  readonly name?: string;
}

export interface ComparedPicture {
  readonly svg: string;
  /** The state that is drawn. */
  readonly state: string;
}

export interface ComparisonAnswer {
  readonly labels: readonly string[];
  readonly index: number;
  readonly machine: string;
  readonly headline: string;
  readonly rows: readonly ComparedRow[];
  /** Why it cannot be carried out. */
  readonly cannot: readonly Finding[];
  readonly fits: readonly Fit[];
  readonly cautions: readonly string[];
  readonly style: string;
  readonly pictures?: { readonly before: ComparedPicture; readonly after: ComparedPicture };
}

/**
 * The proposal of that index, else the one around the offset, else the first; undefined when there is none or not every check is done.
 * `row`: the state that shows this row is drawn, else that of the first which has one.
 */
export function comparisonOf(
  view: FileView,
  index: number | undefined,
  offset: number,
  row?: number,
  look: DrawingLook = {},
): ComparisonAnswer | undefined {
  const { proposals = [] } = view;
  const around = proposals.findIndex(({ statement: { from, to } }) => from <= offset && offset <= to);
  const at = index !== undefined && proposals[index] ? index : Math.max(0, around);
  const found = proposals[at];
  if (!found || !view.files) return undefined;
  const { comparison, statement, base, locate } = found;
  const { verdict, fits = [], findings } = comparison;
  // The comparison may be one of an earlier text with other offsets; places are taken from this one.
  const applied = applyProposal(base, view.files, { statement, file: view.file }, locate);
  const lines = verdict?.lines ?? [];
  return {
    labels: proposals.map(({ statement: each }) => each.label?.text ?? "proposal"),
    index: at,
    machine: base.label,
    headline: verdict?.headline ?? "It cannot be carried out as it is written.",
    rows: lines.map((line) => rowOf(line, found, applied)),
    cannot: verdict ? [] : findings,
    fits,
    cautions: verdict?.cautions ?? [],
    style: drawingStyle + markedStyle,
    ...picturesOf(found, comparison, lines[row ?? -1]?.state ?? lines.find(({ state }) => state)?.state, look),
  };
}

function rowOf(line: VerdictLine, { base, comparison }: ProposalView, { machine, home }: Applied): ComparedRow {
  const { weight, text, state } = line;
  const row = { weight, text, ...(state && { state: shownStateText(state) }) };
  const spoken = spokenOf(line, comparison);
  if (!spoken) return row;
  // Names are those of the texts that were compared; where they stand may have moved since.
  const own = thingsOf(base).find(({ key }) => key === spoken.key);
  const made = machine && thingsOf(machine).find(({ key }) => key === spoken.key);
  const place = own?.namePlace ?? made?.namePlace;
  const name = spoken.name ?? made?.name ?? own?.name;
  const placed = own || place?.file !== machine?.file ? place : place && home(place.from, place.to).place;
  return { ...row, ...(placed && { place: placed }), ...(name !== undefined && { name }) };
}

/** Something that a line may speak of: `key` is the same in both machines, `name` that of a contact or load. */
interface Spoken {
  readonly key: string;
  readonly name: string | undefined;
  readonly place: Place;
  readonly namePlace: Place;
}

/** Contacts and loads by their names for people, then parts by theirs, which stand for their first contact or load. */
function thingsOf(machine: Machine): Spoken[] {
  const { parts, contacts, loads } = machine;
  return [
    ...contacts.map((each) => ({ ...each, key: contactName(machine, each.id) })),
    ...loads.map((each) => ({ ...each, key: loadName(machine, each.id) })),
    ...parts.map((each) => {
      const first = contacts[each.contacts[0] ?? -1] ?? loads[each.loads[0] ?? -1];
      return { ...each, key: each.name, name: first?.name };
    }),
  ];
}

function spokenOf({ about, finding }: VerdictLine, { engines }: Comparison): Spoken | undefined {
  const things = [...(engines ?? [])].reverse().flatMap(({ circuit }) => thingsOf(circuit.machine));
  if (!finding) return things.find(({ key }) => key === about);
  const { file, from } = finding.place;
  return things
    .filter(({ place }) => place.file === file && place.from <= from && from < place.to)
    .sort((a, b) => a.place.to - a.place.from - (b.place.to - b.place.from))[0];
}

function picturesOf(
  { base }: ProposalView,
  { difference, machine, engines, renames = new Map() }: Comparison,
  shown: ShownState | undefined,
  look: DrawingLook,
): Pick<ComparisonAnswer, "pictures"> {
  if (!difference || !machine || !engines) return {};
  const states = statesOf(engines, shown, renames);
  const marks = changedPaths(engines[0].circuit.machine, machine, renames, difference);
  const [before, after] = engines.map((engine, side): ComparedPicture => {
    const state = states[side]!;
    const drawn = drawCircuit(
      engine.circuit.machine,
      { state, solution: engine.solve(state) },
      { ...look, legend: false },
    );
    return {
      svg: markedDrawingSvg(drawn, marks[side]!, side === 0 ? "before" : "after"),
      state: describeState(side === 0 ? base : machine, state),
    };
  });
  return { pictures: { before: before!, after: after! } };
}

/** The state that was told, and the one of the other machine in which a person finds it when everything is set alike. */
function statesOf(
  [one, two]: readonly [Engine, Engine],
  shown: ShownState | undefined,
  renames: ReadonlyMap<string, string>,
): readonly [MachineState, MachineState] {
  const forth = (name: string) => renames.get(name) ?? name;
  const back = (name: string) => [...renames].find(([, to]) => to === name)?.[0] ?? name;
  const after = shown && toldState(two.circuit.machine, shown);
  if (after && two.has(two.all(), after)) return [alike(two, after, one, back), after];
  const told = shown && toldState(one.circuit.machine, shown);
  const before = told ?? (after ? undefined : defaultState(one));
  if (before) return [before, alike(one, before, two, forth)];
  return [alike(two, after!, one, back), after!];
}

function alike(from: Engine, state: MachineState, to: Engine, name: (text: string) => string): MachineState {
  const { controls } = to.circuit.machine;
  const names = Object.entries(namedState(from.circuit.machine, state)).flatMap(([control, position]) => {
    const same = controls.find((each) => each.name === name(control));
    return same?.positions.some((each) => each.name === position) ? [[same.name, position] as const] : [];
  });
  const wanted = Object.fromEntries(names);
  return stateOfNames(to, wanted) ?? positionsOfNames(to.circuit.machine, wanted)!;
}
