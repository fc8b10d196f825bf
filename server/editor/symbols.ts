/** The outline of a file: machines, their parts with contacts and windings, and the statements people look for. From the text alone. */
import type { FindingsEntry, Item, NameNode, Statement, TextNode } from "../../grammar/tree.ts";
import type { FileView } from "./view.ts";

export type OutlineKind = "machine" | "part" | "type" | "contact" | "load" | "statement";

export interface OutlineEntry {
  readonly name: string;
  /** `heater, drying coil`. */
  readonly detail: string;
  readonly kind: OutlineKind;
  readonly from: number;
  readonly to: number;
  /** What is selected on a jump; lies within. */
  readonly nameFrom: number;
  readonly nameTo: number;
  readonly children: readonly OutlineEntry[];
}

export function outline(view: FileView): readonly OutlineEntry[] {
  const top: OutlineEntry[] = [];
  let inside = top;
  const heads = view.tree.statements.filter(({ statement }) => statement === "machine");
  for (const statement of view.tree.statements) {
    if (statement.statement === "machine") {
      const next = heads[heads.indexOf(statement) + 1]?.from ?? view.text.length;
      const to = statement.from + view.text.slice(statement.from, next).trimEnd().length;
      const name = statement.label ?? statement;
      inside = [];
      top.push(entry("machine", statement.label?.text || "machine", "", { from: statement.from, to }, name, inside));
    } else {
      const made = ofStatement(view.text, statement);
      if (made) inside.push(made);
    }
  }
  return top;
}

function entry(
  kind: OutlineKind,
  name: string,
  detail: string,
  { from, to }: TextNode,
  selected: TextNode | undefined,
  children: readonly OutlineEntry[] = [],
): OutlineEntry {
  const within = selected && selected.from >= from && selected.to <= to;
  return {
    name,
    detail,
    kind,
    from,
    to,
    nameFrom: within ? selected.from : from,
    nameTo: within ? selected.to : from,
    children,
  };
}

const details = (...parts: (string | undefined)[]): string => parts.filter((part) => part).join(", ");

function ofStatement(text: string, statement: Statement): OutlineEntry | undefined {
  const line = () => text.slice(statement.from, statement.to).split("\n")[0]!.trim();
  switch (statement.statement) {
    case "supply":
      return entry("statement", line(), "", statement, undefined);
    case "part": {
      const { kind, name, label, ofType, items } = statement;
      const detail = details(kind.text, ofType && `type ${ofType.text}`, label?.text);
      return entry("part", name?.text ?? kind.text, detail, statement, name ?? kind, ofItems(items));
    }
    case "type": {
      const { kind, name, label, items } = statement;
      const detail = details("type", kind?.text, label?.text);
      return entry("type", name?.text ?? "type", detail, statement, name, ofItems(items));
    }
    case "expect":
      return entry("statement", line(), "", statement, undefined);
    case "proposal":
    case "findings":
      return entry(
        "statement",
        statement.label?.text || statement.statement,
        statement.statement,
        statement,
        statement.label,
        statement.statement === "findings" ? ofReadings(text, statement.entries) : [],
      );
    default:
      return undefined; // Wires and notes would bury the rest.
  }
}

function ofReadings(text: string, entries: readonly FindingsEntry[]): OutlineEntry[] {
  return entries.flatMap((each) => {
    const name = text.slice(each.from, each.to).trim();
    return name === "" ? [] : [entry("statement", name, "", each, undefined)];
  });
}

function ofItems(items: readonly Item[]): OutlineEntry[] {
  return items.flatMap((item): OutlineEntry[] => {
    switch (item.item) {
      case "contact": {
        const { common, throws, name } = item;
        if (item.word === "") return []; // The terminals of a one-liner: the part itself.
        const ends = between(common, throws);
        return [
          entry(
            "contact",
            name?.text ?? (ends || item.word),
            name ? details(item.word, ends) : item.word,
            item,
            name ?? common,
          ),
        ];
      }
      case "winding":
      case "drive":
      case "coil":
      case "branch": {
        const word = item.item === "branch" ? item.word : item.item;
        const ends = between(item.a, item.b ? [item.b] : []);
        return [entry("load", item.name?.text ?? word, item.name ? details(word, ends) : ends, item, item.name)];
      }
      case "speed-switch":
        return [entry("part", "speed-switch", "", item, undefined, ofItems(item.contacts))];
      default:
        return [];
    }
  });
}

function between(from: NameNode | undefined, to: readonly NameNode[]): string {
  if (!from || to.length === 0) return "";
  return `${from.text} to ${to.map(({ text }) => text).join(" or ")}`;
}
