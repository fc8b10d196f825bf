/** Lines and columns of a text, and its lines with a mark under a place, as compilers print them. */

export class SourceLines {
  readonly #starts: number[] = [0];
  readonly #text: string;

  constructor(text: string) {
    this.#text = text;
    for (let at = text.indexOf("\n"); at >= 0; at = text.indexOf("\n", at + 1)) this.#starts.push(at + 1);
  }

  /** Both from 1; columns count characters (code points), so that an emoji is one. */
  at(offset: number): { readonly line: number; readonly column: number } {
    let low = 0;
    let high = this.#starts.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (this.#starts[middle]! <= offset) low = middle;
      else high = middle - 1;
    }
    return { line: low + 1, column: [...this.#text.slice(this.#starts[low], offset)].length + 1 };
  }

  line(number: number): string {
    const from = this.#starts[number - 1] ?? this.#text.length;
    const to = this.#starts[number] ?? this.#text.length;
    return this.#text.slice(from, to).replace(/\r?\n$/, "");
  }

  /** The line of a place with `^^^` under it. */
  marked(from: number, to: number): readonly [source: string, marks: string] {
    const { line, column } = this.at(from);
    const source = this.line(line).replaceAll("\t", " ");
    const length = [...source].length;
    const end = this.at(to);
    const width = end.line === line ? end.column - column : length - column + 1;
    return [source, `${" ".repeat(column - 1)}${"^".repeat(Math.max(1, Math.min(width, length - column + 2)))}`];
  }
}
