/** A proposal beside its machine: the verdict as rows that lead to the text, and both drawings in a state that shows a row. */
import type { Finding, ShownState } from "../base/finding.ts";
import { shownStateText } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import { toldState } from "../checks/ask.ts";
import { describeState } from "../machine/index.ts";
import type { Machine, MachineState } from "../machine/machine.ts";
import { drawCircuit } from "../pictures/drawing.ts";
import { drawingStyle } from "../pictures/drawing-svg.ts";
import { markedDrawingSvg, markedStyle } from "../pictures/marked-drawing.ts";
import { type Applied, applyProposal } from "../proposals/apply.ts";
import { editPlace } from "../proposals/causes.ts";
import { changedPaths } from "../proposals/changed-paths.ts";
import type { Comparison } from "../proposals/compare.ts";
import type { Fit } from "../proposals/fit.ts";
import { spokenPlace } from "../proposals/spoken-place.ts";
import type { VerdictLine, Weight } from "../proposals/verdict.ts";
import type { Engine } from "../states/engine.ts";
import { defaultState, namedState, positionsOfNames, stateOfNames } from "./chosen-state.ts";
import type { DrawingLook } from "./pictures.ts";
import type { FileView, ProposalView } from "./view.ts";

export interface ComparedRow {
  readonly weight: Weight;
  readonly text: string;
  readonly state?: string;
  /** The edits that bring it, in words. */
  readonly by?: string;
  /** The edit that brings it, else what it speaks of. */
  readonly place?: Place;
  /** The contact or load that it speaks of. */
  readonly name?: string;
}

export interface ComparedPicture {
  readonly svg: string;
  /** The state that is drawn. */
  readonly state: string;
  /** Contacts and loads, and where they stand: in the machine's text, or in the edit that brings them. */
  readonly parts: readonly { readonly name: string; readonly place: Place }[];
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
    rows: lines.map((line) => rowOf(line, found, view.file, applied)),
    cannot: verdict ? [] : findings,
    fits,
    cautions: verdict?.cautions ?? [],
    style: drawingStyle + markedStyle,
    ...picturesOf(found, comparison, applied, lines[row ?? -1]?.state ?? lines.find(({ state }) => state)?.state, look),
  };
}

/** A danger leads to the edit that causes it, all else to what it speaks of. */
function rowOf(line: VerdictLine, { statement, base, comparison }: ProposalView, file: string, applied: Applied) {
  const { weight, text, state, by, key } = line;
  const { place: about, name } = spokenPlace(line, base, comparison, applied);
  const [first] = key === undefined ? [] : (comparison.causes?.get(key)?.[0] ?? []);
  const place = first ? editPlace(statement, file, first) : about;
  const row: ComparedRow = {
    weight,
    text,
    ...(state && { state: shownStateText(state) }),
    ...(by && { by }),
    ...(place && { place }),
    ...(name !== undefined && { name }),
  };
  return row;
}

function picturesOf(
  { base }: ProposalView,
  { difference, machine, engines, renames = new Map() }: Comparison,
  applied: Applied,
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
      parts: placesOf(side === 0 ? base : (applied.machine ?? base), side === 0 ? undefined : applied.home),
    };
  });
  return { pictures: { before: before!, after: after! } };
}

function placesOf(machine: Machine, home: Applied["home"] | undefined): ComparedPicture["parts"] {
  const { contacts, loads, file } = machine;
  return [...contacts, ...loads].map(({ name, namePlace: place }) => ({
    name,
    place: home && place.file === file ? home(place.from, place.to).place : place,
  }));
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
