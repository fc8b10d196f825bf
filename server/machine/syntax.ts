/** What the parser has to say, as findings. */
import type { SyntaxError as TextError, Tree } from "../../grammar/tree.ts";
import type { Finding } from "../base/finding.ts";

/** Signs that can only be meant one way; a word taken for another may change the circuit, so a person reads that. */
function isSafe({ id, suggestions }: TextError, text: string): boolean {
  if (suggestions?.length !== 1) return false;
  if (id === "unknown-word" && suggestions[0] === text.toLowerCase()) return true;
  return id === "open-label" || id === "missing-brace" || (id === "unknown-character" && text === '"');
}

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
        safe: isSafe(error, text),
        edits: [{ place, text }],
      })),
    };
  });
}
