/** Whether two texts say the same: the same statements, comments and mistakes, wherever they stand. */
import type { Tree } from "./tree.ts";

const places = new Set(["from", "to", "wordFrom", "wordTo"]);

/** What a tree says, without places. Within a quantity's own text (`15( 8 ) A`) white space does not count. */
function said({ statements, comments, errors }: Tree): string {
  const content = [statements, comments.map(({ text }) => text.trimEnd()), errors.map(({ id }) => id)];
  return JSON.stringify(content, (key, value) => {
    if (places.has(key)) return undefined;
    return key === "text" && typeof value === "string" ? value.replace(/\s/g, "") : value;
  });
}

export function sameMeaning(a: Tree, b: Tree): boolean {
  return said(a) === said(b);
}
