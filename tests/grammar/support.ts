import { parse } from "../../grammar/parse.ts";
import type { Item, PartStatement, Statement, Tree } from "../../grammar/tree.ts";

/** Parses text that must be without error. */
export function clean(text: string): Tree {
  const tree = parse(text);
  if (tree.errors.length > 0)
    throw new Error(`${text}\n${tree.errors.map((error) => `${error.what} ${error.advice}`).join("\n")}`);
  return tree;
}

export function only<Kind extends Statement["statement"]>(
  text: string,
  kind: Kind,
): Extract<Statement, { statement: Kind }> {
  const [first] = clean(text).statements;
  if (first?.statement !== kind) throw new Error(`${first?.statement} instead of ${kind}: ${text}`);
  return first as Extract<Statement, { statement: Kind }>;
}

export function part(text: string): PartStatement {
  return only(text, "part");
}

export function item<Kind extends Item["item"]>(text: string, kind: Kind, index = 0): Extract<Item, { item: Kind }> {
  const found = part(text).items.filter((one) => one.item === kind)[index];
  if (!found) throw new Error(`no ${kind} in ${text}`);
  return found as Extract<Item, { item: Kind }>;
}

/** Errors as `id: the text they stand at`. */
export function errors(text: string): string[] {
  return parse(text).errors.map((error) => `${error.id}: ${text.slice(error.from, error.to)}`);
}
