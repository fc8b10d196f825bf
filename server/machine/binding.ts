/** Resolves conditions inside a draft: mentions are noted and faults told. */

import { nearestNames, orList } from "../../grammar/suggest.ts";
import type { ConditionNode, TermNode } from "../../grammar/tree.ts";
import { Beside } from "../base/beside.ts";
import { maskCount } from "./condition-algebra.ts";
import { resolveNode, resolveTerm, type TermFault, type TermWatcher } from "./conditions.ts";
import { type Draft, otherNames, type PartDraft } from "./draft.ts";
import type { Condition, Control } from "./machine.ts";
import type { NamesView } from "./names-view.ts";
import { positionWords } from "./positions.ts";

const views = new Beside<Draft, NamesView>();

export function viewOf(draft: Draft): NamesView {
  const known = views.get(draft);
  if (known) return known;
  const view: NamesView = {
    controls: draft.controls,
    controlsOf: (name) => draft.partNames.get(name)?.controls,
    controlNamed: (name) => draft.controlNames.get(name),
  };
  views.set(draft, view);
  return view;
}

function watcherOf(draft: Draft, file: string): TermWatcher {
  return {
    subject(term, name) {
      const part = draft.partNames.get(name);
      if (!part) return;
      part.referred = true;
      if (term.subject?.part) draft.mention(draft.place(term.subject.part, file), { type: "part", part: part.id });
    },
    position(node, control, mask) {
      notePosition(draft, file, node.name ?? node, control, mask);
    },
    fault(term, fault) {
      tellFault(draft, file, term, fault);
    },
  };
}

/** Notes that the text names a position, or a group of steps. */
export function notePosition(
  draft: Draft,
  file: string,
  node: { from: number; to: number },
  control: Control,
  mask: Uint8Array,
  defines = false,
): void {
  const first = mask.indexOf(1);
  if (first < 0) return;
  const group = control.positions[first]!.group;
  const target =
    group !== undefined && maskCount(mask) >= 1
      ? ({ type: "group", control: control.id, group } as const)
      : ({ type: "position", control: control.id, position: first } as const);
  draft.mention({ file, from: node.from, to: node.to }, target, defines);
}

function tellFault(draft: Draft, file: string, term: TermNode, fault: TermFault): void {
  if (fault.fault === "unknown-part") {
    const node = term.subject?.part ?? term;
    const near = nearestNames(fault.name, otherNames(draft));
    draft.find("unknown-part", "error", draft.place(node, file), {
      what: `Nothing is called ${fault.name}.`,
      advice:
        near.length > 0
          ? `Did you mean ${orList(near)}?`
          : "Declare it, or write the name of something that is declared.",
      fixes: near.map((name) => ({
        title: `Change to ${name}`,
        safe: false,
        edits: [{ place: draft.place(node, file), text: name }],
      })),
    });
  } else if (fault.fault === "no-positions") {
    draft.find("no-positions", "error", draft.place(term.subject ?? term, file), {
      what: `${fault.name} has no positions, so a condition cannot ask how it stands.`,
      advice: !term.subject
        ? "Write `in` and the position: `closed in shut, open in open`."
        : "Name the switch, timer, thermal part, relay or motor that decides; for what a load does, use expect or findings.",
    });
  } else {
    const words = [...new Set(fault.controls.flatMap((control) => positionWords(control)))];
    const written = draftText(draft, file, fault.node);
    const near = nearestNames(fault.node.name?.text ?? "", words);
    const name = fault.controls[0]?.name.split(".")[0] ?? "It";
    draft.find("unknown-position", "error", draft.place(fault.node, file), {
      what: `${name} has no position ${written}; it stands in ${orList(words)}.`,
      advice: draft.partNames.has(fault.node.name?.text ?? "")
        ? "`or` joins positions of one part. Write a line of its own for the other part, or a comma where both must hold."
        : near.length > 0
          ? `Did you mean ${orList(near)}?`
          : "Write one of its positions.",
      fixes: fault.node.name
        ? near.map((word) => ({
            title: `Change to ${word}`,
            safe: false,
            edits: [{ place: draft.place(fault.node.name!, file), text: word }],
          }))
        : [],
    });
  }
}

function draftText(draft: Draft, file: string, node: { from: number; to: number; name?: { text: string } }): string {
  return file === draft.file ? draft.tree.text.slice(node.from, node.to) : (node.name?.text ?? "so called");
}

/** A condition inside a part; terms without a subject are about the part itself. */
export function resolveOwn(draft: Draft, part: PartDraft | undefined, node: ConditionNode, file: string): Condition {
  return resolveNode(viewOf(draft), node, part?.name, watcherOf(draft, file));
}

export function resolveTermOwn(
  draft: Draft,
  part: PartDraft | undefined,
  term: TermNode,
  file: string,
): Condition | undefined {
  return resolveTerm(viewOf(draft), term, part?.name, watcherOf(draft, file));
}
