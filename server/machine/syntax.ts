/** What the parser has to say, as findings. */
import type { Tree } from "../../grammar/tree.ts";
import type { Finding } from "../base/finding.ts";

export function syntaxFindings(file: string, tree: Tree): Finding[] {
  return tree.errors.map((error) => {
    const place = { file, from: error.from, to: error.to };
    return {
      id: error.id,
      gravity: "error" as const,
      place,
      what: error.what,
      advice: error.advice,
      related: [],
      fixes: (error.suggestions ?? []).map((text) => ({
        title: `Change to ${text}`,
        safe: false,
        edits: [{ place, text }],
      })),
    };
  });
}
