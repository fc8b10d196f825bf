/**
 * Changes of parts that are described by a type. The type may serve other parts too, so the part is written out: its own statement with
 * what the type says in it, and the changes are done there.
 */
import { parse } from "../../grammar/parse.ts";
import type { Item, PartStatement, TypeStatement } from "../../grammar/tree.ts";
import { changeSplices, type PlacedEdit, rewrite, type Splice } from "./rewrite.ts";

/** A type with the text of its file. */
export interface WrittenType {
  readonly statement: TypeStatement;
  readonly text: string;
}

interface WrittenOut {
  readonly old: PartStatement;
  readonly text: string;
  readonly statement: PartStatement;
  readonly splices: Splice[];
}

export class ModelParts {
  readonly #parts = new Map<PartStatement, WrittenOut>();

  /** False when the part has nothing of that inner name. */
  change(
    old: PartStatement,
    type: WrittenType,
    base: string,
    inner: string | undefined,
    items: readonly Item[],
    edit: PlacedEdit,
  ): boolean {
    const part = this.#parts.get(old) ?? writtenOut(old, type, base);
    if (!part) return false;
    this.#parts.set(old, part);
    const splices = changeSplices(part.statement, inner, items, edit, part.text);
    part.splices.push(...(splices ?? []));
    return splices !== undefined;
  }

  /** Changes within each part, to be looked through for those that touch. */
  get changes(): readonly (readonly Splice[])[] {
    return [...this.#parts.values()].map(({ splices }) => splices);
  }

  /** Of the base text. */
  splices(): Splice[] {
    return [...this.#parts.values()].map(({ old, text, splices }) => ({
      from: old.from,
      to: old.to,
      text: rewrite("", text, splices).text,
      edit: splices.at(-1)?.edit,
    }));
  }
}

function writtenOut(old: PartStatement, { statement: type, text: typeText }: WrittenType, base: string) {
  const [own, ofType] = [pieces(old, base, old.ofType), pieces(type, typeText, type.label ?? type.kind)];
  const label = old.label ?? type.label;
  const words = label && (label === old.label ? base : typeText).slice(label.from, label.to);
  const head = [old.kind.text, old.name!.text, words, ofType.head, own.head].filter((each) => each).join(" ");
  const inner = [ofType.block, own.block].filter((each) => each !== undefined);
  const text = inner.length > 0 ? `${head} {\n${inner.join("\n")}\n}` : head;
  const [statement] = parse(text).statements;
  return statement?.statement === "part" ? { old, text, statement, splices: [] } : undefined;
}

/** What stands behind a word in the head of the statement, and what stands in its block. */
function pieces(
  { to, block }: PartStatement | TypeStatement,
  text: string,
  behind: { readonly to: number } | undefined,
): { readonly head: string; readonly block: string | undefined } {
  const head = text.slice(behind?.to ?? to, block?.from ?? to).trim();
  return { head, block: block && text.slice(block.from + 1, block.to - 1).replace(/^\s*\n|\s+$/g, "") };
}
