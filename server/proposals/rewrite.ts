/**
 * The text of the changed machine, for the edits that only the resolver can read (new parts and wires, another type, other plate
 * values, another supply). Every stretch remembers the edit it came from, so that what is found there can be told at its line.
 */
import type { Item, PartStatement, ProposalEdit, SupplyStatement, Tree } from "../../grammar/tree.ts";
import type { Place } from "../base/place.ts";

/** An edit with the file that it stands in. */
export interface PlacedEdit {
  readonly edit: ProposalEdit;
  readonly place: Place;
  readonly text: string;
}

export interface Splice {
  /** Stretch of the base text that is replaced. */
  readonly from: number;
  readonly to: number;
  readonly text: string;
  readonly edit?: PlacedEdit;
}

export interface Rewritten {
  readonly text: string;
  /** Where a stretch of the new text comes from: a place of the base, or the edit that wrote it. */
  home(from: number, to: number): { readonly place: Place; readonly edit?: PlacedEdit };
  /** True for offsets that an edit wrote. */
  isNew(offset: number): boolean;
}

/** The base text with the splices done; they must not overlap. */
export function rewrite(file: string, base: string, splices: readonly Splice[]): Rewritten {
  const sorted = splices
    .map((splice, order) => ({ splice, order }))
    .sort((a, b) => a.splice.from - b.splice.from || a.order - b.order)
    .map(({ splice }) => splice);
  let text = "";
  let at = 0;
  const written: { from: number; to: number; splice: Splice }[] = [];
  for (const splice of sorted) {
    text += base.slice(at, splice.from);
    written.push({ from: text.length, to: text.length + splice.text.length, splice });
    text += splice.text;
    at = Math.max(at, splice.to);
  }
  text += base.slice(at);
  const back = (offset: number): number => {
    let shift = 0;
    for (const { from, to, splice } of written) {
      if (offset < from) break;
      if (offset < to) return splice.from;
      shift = splice.to - to;
    }
    return offset + shift;
  };
  const within = (offset: number) => written.find(({ from, to }) => from <= offset && offset < to);
  return {
    text,
    home(from, to) {
      const edit = within(from)?.splice.edit;
      return edit
        ? { place: edit.place, edit }
        : { place: { file, from: back(from), to: Math.max(back(from), back(to)) } };
    },
    isNew: (offset) => within(offset) !== undefined,
  };
}

/** Which of its file's machines it is, from 0. */
export function machineNumber({ statements }: Tree, { to }: Place): number {
  const heads = statements.filter(({ statement, from }) => statement === "machine" && from < to);
  return Math.max(0, heads.length - 1);
}

/** The part statement of that name in a stretch of the tree. */
export function partStatement(tree: Tree, place: Place, name: string): PartStatement | undefined {
  return tree.statements.find(
    (each): each is PartStatement =>
      each.statement === "part" && each.name?.text === name && each.from >= place.from && each.from < place.to,
  );
}

export function supplyStatement(tree: Tree, place: Place): SupplyStatement | undefined {
  return tree.statements.find(
    (each): each is SupplyStatement => each.statement === "supply" && each.from >= place.from && each.from < place.to,
  );
}

/** Items that say the same kind of thing, so that one takes the other's place. */
function sameKind(a: Item, b: Item): boolean {
  if (a.item === "quantity" && b.item === "quantity") return a.quantity.dimension === b.quantity.dimension;
  if (a.item === "property" && b.item === "property") return a.word === b.word;
  return a.item === b.item && a.item === "rated";
}

/** Splices that change a part, or one contact, winding or coil of it, to the items of a `change` edit. */
export function changeSplices(
  statement: PartStatement,
  inner: string | undefined,
  items: readonly Item[],
  edit: PlacedEdit,
  base: string,
): readonly Splice[] | undefined {
  const offset = (item: { from: number; to: number }): string =>
    edit.text.slice(item.from - edit.place.from, item.to - edit.place.from);
  let node: { readonly from: number; readonly to: number } = statement;
  let old: readonly Item[] = statement.items;
  let end = statement.block ? statement.block.from : statement.to;
  let rating: { readonly from: number; readonly to: number } | undefined;
  if (inner !== undefined) {
    const all = statement.items.flatMap((item): readonly Item[] =>
      item.item === "speed-switch" ? item.contacts : [item],
    );
    const found = all.find((item) => "name" in item && item.name?.text === inner && item.item !== "chart");
    if (!found || !("properties" in found)) return undefined;
    node = found;
    old = found.properties;
    end = node.to;
    if (found.item === "contact") rating = found.rating;
  }
  return items.map((item): Splice => {
    const known = item.item === "rated" && rating ? rating : old.find((each) => sameKind(each, item));
    if (!known) return { from: end, to: end, text: ` ${offset(item)} `, edit };
    // A contact's rating may begin behind its word.
    const behind = known === rating && !base.startsWith("rated", known.from);
    return {
      from: known.from,
      to: known.to,
      text: behind ? offset(item).replace(/^rated\s+/, "") : offset(item),
      edit,
    };
  });
}
