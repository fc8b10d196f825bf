/** Which parts the machine's conditions ask about: decides which controls are worth having. */
import type { ConditionNode, Item, Statement, TermNode } from "../../grammar/tree.ts";
import type { Draft } from "./draft.ts";

const motion = /^(stopped|still|hums|humming|running|runs|turning)( (left|right))?$/;

/** Walks everything that may hold a condition and notes its subjects. */
export function noteSubjects(
  draft: Draft,
  statements: readonly Statement[],
  typeItems: readonly (readonly Item[])[],
): void {
  for (const items of typeItems) for (const item of items) noteItem(draft, item);
  for (const statement of statements) {
    switch (statement.statement) {
      case "part":
        for (const item of statement.items) noteItem(draft, item);
        break;
      case "expect":
        noteCondition(draft, statement.when);
        for (const term of statement.after ?? []) noteTerm(draft, term);
        break;
      case "findings":
        for (const entry of statement.entries) if (entry.entry === "when") noteCondition(draft, entry.condition);
        break;
      default:
    }
  }
}

function noteItem(draft: Draft, item: Item): void {
  switch (item.item) {
    case "contact":
      noteCondition(draft, item.while);
      for (const property of item.properties) noteProperty(draft, property);
      break;
    case "property":
      noteProperty(draft, item);
      break;
    case "speed-switch":
      for (const contact of item.contacts) noteItem(draft, contact);
      break;
    case "winding":
    case "drive":
    case "coil":
    case "branch":
      for (const property of item.properties) if (property.item === "property") noteProperty(draft, property);
      break;
    case "moves":
      noteCondition(draft, item.guard?.condition);
      break;
    case "guarded":
      noteCondition(draft, item.guard.condition);
      break;
    default:
  }
}

function noteProperty(draft: Draft, property: Extract<Item, { item: "property" }>): void {
  for (const value of property.values) if (value.type === "condition") noteCondition(draft, value.condition);
}

function noteCondition(draft: Draft, condition: ConditionNode | undefined): void {
  for (const clause of condition?.clauses ?? []) for (const term of clause) noteTerm(draft, term);
}

function noteTerm(draft: Draft, term: TermNode): void {
  const name = term.subject?.part?.text;
  if (name === undefined) return;
  draft.conditioned.add(name);
  if (term.positions.some((position) => position.name && motion.test(position.name.text))) draft.motions.add(name);
}
