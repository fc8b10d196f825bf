/** Formatting on request: a range of lines, and what has just been typed. */
import { formatTree, type TextEdit } from "../../grammar/format.ts";
import { linesBeforeMistake, linesOf } from "../../grammar/format-lines.ts";
import { readStretch, wholeStretch } from "../../grammar/format-stretch.ts";
import type { Tree } from "../../grammar/tree.ts";

/** Edits of the lines that the range touches. */
export function formatRange(tree: Tree, from: number, to: number): TextEdit[] {
  const { text } = tree;
  const start = text.lastIndexOf("\n", from - 1) + 1;
  const feed = text.indexOf("\n", Math.max(from, to - (to > from && text[to - 1] === "\n" ? 1 : 0)));
  const end = feed < 0 ? text.length : feed;
  return formatTree(tree, (edit) => edit.from >= start && edit.to <= end);
}

/**
 * Edits when `typed` has just been typed before `offset`: a line break formats the line that it ends and indents the new one, a
 * closing brace formats its block.
 */
export function formatTyped(tree: Tree, offset: number, typed: string): TextEdit[] {
  const { text } = tree;
  if (typed === "}") {
    let depth = 0;
    const tokens = tree.tokens.filter(({ type, to }) => type === "brace" && to <= offset);
    if (tokens[tokens.length - 1]?.to !== offset) return [];
    for (const { from } of tokens.reverse()) {
      depth += text[from] === "}" ? 1 : -1;
      if (depth === 0) return formatRange(tree, from, offset);
    }
    return [];
  }
  const start = text.lastIndexOf("\n", offset - 1);
  if (!typed.includes("\n") || start < 0) return [];
  const before = text.lastIndexOf("\n", start - 1) + 1;
  const feed = text.indexOf("\n", start + 1);
  const end = feed < 0 ? text.length : feed;
  const written = text.slice(start + 1, end).trim() !== "";
  const last = written ? end : start;
  // Somebody who types line breaks wants them.
  const edits = formatTree(
    tree,
    (edit) =>
      edit.from >= before &&
      edit.to <= last &&
      !edit.text.includes("\n") &&
      !text.slice(edit.from, edit.to).includes("\n"),
  );
  return written ? edits : [...edits, ...indentEmpty(tree, start + 1)];
}

/** The cursor's empty line gets the indentation of its block, not that of a line to be trimmed. */
function indentEmpty(tree: Tree, start: number): TextEdit[] {
  const { text } = tree;
  const stretch = wholeStretch(tree);
  const lines = linesOf(readStretch(stretch));
  const index = lines.findIndex(({ from }) => from === start);
  const line = lines[index];
  const known = index >= 0 && index < linesBeforeMistake(stretch, lines);
  if (!line || !known || text.slice(line.from, line.to) === " ".repeat(line.indent)) return [];
  return [{ from: line.from, to: line.to, text: " ".repeat(line.indent) }];
}
