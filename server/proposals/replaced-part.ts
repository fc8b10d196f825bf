/**
 * Another part in the place of one. What says where and how the old one is fitted is not a matter of the part: the frame that it is bolted
 * to, where it sits, what it senses, what it moves and what guards that. It holds for the new part too, unless that says it otherwise.
 */
import type { Item, PartStatement } from "../../grammar/tree.ts";

const fitted: ReadonlySet<string> = new Set(["at", "senses", "warmed by"]);
const thermal: ReadonlySet<string> = new Set(["thermostat", "limit", "link", "overload"]);

export interface NewPart {
  readonly kind: string;
  /** All that is said of it, its type's items among them. */
  readonly items: readonly Item[];
  /** What stands behind its name in the head of the statement, and in its block. */
  readonly head: string;
  readonly block?: string;
}

/** The statement of the new part under the old one's name. `base`: the text that the old one stands in. */
export function replacedPart(old: PartStatement, { kind, items, head, block }: NewPart, base: string): string {
  const same = kind === old.kind.text || (thermal.has(kind) && thermal.has(old.kind.text));
  const said = new Set(items.map(nameOfFit));
  const kept = same ? old.items.filter((item) => nameOfFit(item) !== undefined && !said.has(nameOfFit(item))) : [];
  const words = (inBlock: boolean) =>
    kept
      .filter((item) => inBlock === (item.item === "moves" || item.item === "guarded"))
      .map(({ from, to }) => base.slice(from, to));
  const first = [kind, old.name!.text, head.trim(), ...words(false)].filter((word) => word !== "").join(" ");
  const inner = [...(block === undefined ? [] : [block]), ...words(true).map((line) => `  ${line}`)];
  return block === undefined && inner.length === 0 ? first : `${first} {\n${inner.join("\n")}\n}`;
}

/** What an item says of how a part is fitted; undefined for one that is about the part itself. */
function nameOfFit(item: Item): string | undefined {
  if (item.item === "property") return fitted.has(item.word) ? item.word : undefined;
  if (item.item === "frame") return item.on && "on";
  return item.item === "moves" || item.item === "guarded" ? item.item : undefined;
}
