/** Names in proposals and bench findings: resolved for hover, definition and rename; their meaning is found elsewhere. */
import type {
  FindingsStatement,
  PartStatement,
  ProposalStatement,
  Statement,
  WireStatement,
} from "../../grammar/tree.ts";
import { resolveOwn } from "./binding.ts";
import type { Draft } from "./draft.ts";
import { meantBy, partNamed } from "./points.ts";

export function mentionLater(draft: Draft, statement: Statement): void {
  if (statement.statement === "proposal") mentionProposal(draft, statement);
  else if (statement.statement === "findings") mentionFindings(draft, statement);
}

/** Parts that a proposal adds may be named by its wires; they are not parts of the machine. */
function mentionProposal(draft: Draft, statement: ProposalStatement): void {
  const added = new Set<string>();
  for (const edit of statement.edits) if (edit.edit === "add" && edit.part.name) added.add(edit.part.name.text);
  const known = (name: string | undefined) => name !== undefined && !added.has(name);
  const wire = (each: WireStatement | undefined) => {
    for (const link of each?.links ?? []) {
      if (!known(link.part?.text)) continue;
      const meant = meantBy(draft, link, draft.file);
      const part = meant && "part" in meant ? meant.part : undefined;
      for (const name of [link.enter, link.leave]) {
        const terminal = name && part?.terminalNames.get(name.text);
        if (name && terminal !== undefined) draft.mention(draft.place(name), { type: "terminal", terminal });
      }
    }
  };
  for (const edit of statement.edits) {
    switch (edit.edit) {
      case "wire":
        wire(edit.wire);
        break;
      case "remove":
        wire(edit.wire);
        if (edit.part) partNamed(draft, edit.part, draft.file);
        break;
      case "move":
        wire(edit.wire);
        for (const point of [edit.point, edit.target])
          if (point && known(point.part?.text)) meantBy(draft, point, draft.file);
        break;
      case "replace":
        if (edit.part) partNamed(draft, edit.part, draft.file);
        if (edit.byType) draft.mention(draft.place(edit.byType), { type: "type", name: edit.byType.text });
        break;
      case "change":
        if (edit.target && known(edit.target.part?.text) && !edit.supply) meantBy(draft, edit.target, draft.file);
        break;
      case "rename":
        if (edit.part) partNamed(draft, edit.part, draft.file);
        break;
      case "add":
        mentionType(draft, edit.part);
        break;
      default:
    }
  }
}

function mentionType(draft: Draft, part: PartStatement): void {
  if (part.ofType) draft.mention(draft.place(part.ofType), { type: "type", name: part.ofType.text });
}

function mentionFindings(draft: Draft, statement: FindingsStatement): void {
  for (const entry of statement.entries) {
    if (entry.entry === "when") resolveOwn(draft, undefined, entry.condition, draft.file);
    else if (entry.entry === "symptom") {
      if (entry.subject) meantBy(draft, entry.subject, draft.file);
    } else {
      for (const point of [entry.a, entry.b, ...(entry.lifted ?? [])]) if (point) meantBy(draft, point, draft.file);
    }
  }
}
