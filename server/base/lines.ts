/** Lines of a text, for edits that add or take out whole ones. */

/** Where the line of the offset begins. */
export function lineStart(text: string, offset: number): number {
  return text.lastIndexOf("\n", offset - 1) + 1;
}

/** Where the line of the offset ends, its line break left out. */
export function lineEnd(text: string, offset: number): number {
  const end = text.indexOf("\n", offset);
  const to = end < 0 ? text.length : end;
  return text[to - 1] === "\r" && to - 1 >= offset ? to - 1 : to;
}

/** Behind the line's break, or the end of the text. */
export function nextLine(text: string, offset: number): number {
  const end = text.indexOf("\n", offset);
  return end < 0 ? text.length : end + 1;
}

/** White space that the line begins with. */
export function indentOf(text: string, offset: number): string {
  return /^[ \t]*/.exec(text.slice(lineStart(text, offset)))![0];
}

/** The line break that the text uses. */
export function breakOf(text: string): string {
  return text.includes("\r\n") ? "\r\n" : "\n";
}
