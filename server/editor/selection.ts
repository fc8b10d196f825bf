/** Selection that grows: word, name, term, item, statement, block, machine, file. */
import { nodeAt, tokenAt } from "../../grammar/walk.ts";
import { type FileView, machineAt } from "./view.ts";

export interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** From the smallest to the whole text; each holds the one before and is larger. */
export function selections(view: FileView, offset: number): Stretch[] {
  const { tree, text } = view;
  const found: Stretch[] = [];
  const token = tokenAt(tree, offset);
  if (token) {
    // A word beside hyphens counts as one; a text in quotes first without them.
    if (token.type === "label" && token.from < offset && offset < token.to)
      found.push({ from: token.from + 1, to: token.to - 1 });
    found.push(token);
  }
  const comment = tree.comments.find(({ from, to }) => from <= offset && offset <= to);
  if (comment) found.push(comment);
  for (const { node } of [...nodeAt(tree, offset)].reverse()) found.push(node);
  const machine = machineAt(view, offset);
  if (machine) found.push(trimmed(text, machine.machine.place));
  found.push({ from: 0, to: text.length });
  const kept: Stretch[] = [];
  for (const { from, to } of found) {
    const last = kept.at(-1);
    const holds = from <= offset && offset <= to && from < to;
    if (holds && (!last || (from <= last.from && to >= last.to && to - from > last.to - last.from)))
      kept.push({ from, to });
  }
  return kept;
}

function trimmed(text: string, { from, to }: Stretch): Stretch {
  return { from, to: from + text.slice(from, to).trimEnd().length };
}
