import type { Range } from "vscode-languageserver";
import { TextDocument } from "vscode-languageserver-textdocument";
import type { Place } from "../base/place.ts";

/**
 * Offsets and positions. Both count UTF-16 code units, the protocol's own measure, so an emoji is two and a column is right behind
 * it. Line starts of the last few texts are kept.
 */
export class Positions {
  #known: TextDocument[] = [];

  of(text: string): TextDocument {
    const found = this.#known.find((document) => document.getText() === text);
    if (found) return found;
    const made = TextDocument.create("text:", "camleaf", 0, text);
    this.#known = [made, ...this.#known].slice(0, 8);
    return made;
  }

  range(text: string, place: Pick<Place, "from" | "to">): Range {
    const document = this.of(text);
    return { start: document.positionAt(place.from), end: document.positionAt(Math.max(place.from, place.to)) };
  }

  offset(text: string, position: { readonly line: number; readonly character: number }): number {
    return this.of(text).offsetAt(position);
  }
}
