/** Addresses in the text that can be opened: files of `use`, photos of notes. */
import type { LabelNode } from "../../grammar/tree.ts";
import type { FileView } from "./view.ts";

export interface Link {
  /** Between the quotes. */
  readonly from: number;
  readonly to: number;
  /** As written, beside the file. */
  readonly path: string;
}

export function links({ tree }: FileView): Link[] {
  const link = (label: LabelNode | undefined): Link[] =>
    label && label.text.trim() !== ""
      ? [{ from: label.from + 1, to: Math.max(label.from + 1, label.to - 1), path: label.text }]
      : [];
  return tree.statements.flatMap((one) =>
    one.statement === "use" ? link(one.path) : one.statement === "note" ? link(one.photo) : [],
  );
}
