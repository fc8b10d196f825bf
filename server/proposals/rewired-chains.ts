/**
 * Wires as the text has them, in chains, after single connections were taken out or moved: a chain is cut where one is gone and
 * the pieces keep their colour, size and label. Chains that nothing was done to stay letter by letter.
 */
import type { TextEdit } from "../../grammar/format.ts";
import type { WireStatement } from "../../grammar/tree.ts";
import { breakOf, indentOf, lineStart, nextLine } from "../base/lines.ts";
import type { Machine, TerminalId, Wire } from "../machine/machine.ts";

/** Edits of the text of `before`; `after`: the same machine with wires taken out or moved, known by their places. */
export function rewiredChains(before: Machine, after: Machine): TextEdit[] {
  const { tree, place, file } = before;
  const old = new Map(before.wires.map((wire) => [`${wire.place.file} ${wire.place.from} ${wire.place.to}`, wire]));
  const now = new Map(after.wires.map((wire) => [wire.place, wire]));
  return tree.statements.flatMap((each): TextEdit[] => {
    if (each.statement !== "wire" || each.from < place.from || each.from >= place.to) return [];
    const pairs = each.links.slice(1).map((link, i): Connection => {
      const wire = old.get(`${file} ${each.links[i]!.from} ${link.to}`);
      return { wire, now: wire && now.get(wire.place) };
    });
    if (pairs.every(({ wire, now }) => wire?.a === now?.a && wire?.b === now?.b)) return [];
    const name = (terminal: TerminalId) => before.terminals[terminal]!.fullName;
    return [written(tree.text, each, pieces(tree.text, each, pairs, name))];
  });
}

/** One connection of a chain as it was and is; no wire where the text could not be understood, which is left as it stands. */
interface Connection {
  readonly wire: Wire | undefined;
  readonly now: Wire | undefined;
}

/** The points of each piece that is left. Where a chain ends now inside a part that it passed through, its terminal is named. */
function pieces(
  text: string,
  { links }: WireStatement,
  pairs: readonly Connection[],
  name: (terminal: TerminalId) => string,
): string[][] {
  const stays = (index: number) => pairs[index]!.now !== undefined || pairs[index]!.wire === undefined;
  const same = (index: number, end: "a" | "b") => pairs[index]!.wire?.[end] === pairs[index]!.now?.[end];
  const word = (index: number) => text.slice(links[index]!.from, links[index]!.to);
  const point = (index: number, end: "a" | "b", atChainEnd: boolean) => {
    const { wire, now } = pairs[index]!;
    if (!wire || !now || (atChainEnd && same(index, end))) return word(end === "a" ? index : index + 1);
    return name(now[end]);
  };
  const found: string[][] = [];
  for (let i = 0; i < pairs.length; i++) {
    if (!stays(i)) continue;
    const piece = [point(i, "a", i === 0)];
    while (i + 1 < pairs.length && stays(i + 1) && same(i, "b") && same(i + 1, "a")) piece.push(word(++i));
    found.push([...piece, point(i, "b", i === pairs.length - 1)]);
  }
  return found;
}

function written(text: string, statement: WireStatement, left: readonly (readonly string[])[]): TextEdit {
  const { links, from, word } = statement;
  const last = links.at(-1)!;
  const end = last.to + text.slice(last.to, statement.to).trimEnd().length;
  if (left.length === 0) return wholeLine(text, from, end);
  const first = text.slice(from, links[0]!.from).trimEnd();
  const rest = text.slice(last.to, end);
  const lines = left.map((points, i) => `${i === 0 ? first : word} ${points.join(" to ")}${rest}`);
  return { from, to: end, text: lines.join(breakOf(text) + indentOf(text, from)) };
}

/** Takes out a statement, with its line and the remark behind it when nothing else stands there. */
export function wholeLine(text: string, from: number, to: number): TextEdit {
  const start = lineStart(text, from);
  const next = nextLine(text, to);
  const alone = text.slice(start, from).trim() === "" && /^\s*(#.*)?$/.test(text.slice(to, next).trim());
  return alone ? { from: start, to: next, text: "" } : { from, to, text: "" };
}
