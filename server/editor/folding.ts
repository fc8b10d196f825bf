/** What can be folded away: blocks in braces, runs of comment lines, and machines where a file holds several. */
import type { FileView } from "./view.ts";

export interface Fold {
  /** On the line that stays to be seen. */
  readonly from: number;
  /** On the last line that is folded away. */
  readonly to: number;
  readonly kind: "block" | "comment" | "machine";
}

export function folds({ text, tree }: FileView): Fold[] {
  const found: Fold[] = [];
  const add = (from: number, to: number, kind: Fold["kind"]) => {
    if (to > from && text.slice(from, to).includes("\n")) found.push({ from, to, kind });
  };

  const open: number[] = [];
  for (const { type, from } of tree.tokens) {
    if (type !== "brace") continue;
    if (text[from] === "{") open.push(from);
    else {
      const start = open.pop();
      // The line of the closing brace stays to be seen when nothing else stands before it.
      const line = text.lastIndexOf("\n", from - 1);
      if (start !== undefined) add(start, line > start && text.slice(line, from).trim() === "" ? line : from, "block");
    }
  }

  let run: { from: number; to: number } | undefined;
  for (const { from, to } of tree.comments) {
    const line = text.lastIndexOf("\n", from - 1) + 1;
    if (text.slice(line, from).trim() !== "") continue;
    if (run && /^\r?\n[ \t]*$/.test(text.slice(run.to, from))) run.to = to;
    else {
      if (run) add(run.from, run.to, "comment");
      run = { from, to };
    }
  }
  if (run) add(run.from, run.to, "comment");

  const heads = tree.statements.filter(({ statement }) => statement === "machine");
  if (heads.length > 1) {
    heads.forEach(({ from }, index) => {
      const end = heads[index + 1]?.from ?? text.length;
      add(from, from + text.slice(from, end).trimEnd().length, "machine");
    });
  }
  return found.sort((a, b) => a.from - b.from || b.to - a.to);
}
