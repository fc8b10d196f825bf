/** Colour for terminals that have it; plain text everywhere else, and where NO_COLOR is set. */

export interface Paint {
  strong(text: string): string;
  faint(text: string): string;
  error(text: string): string;
  warning(text: string): string;
  information(text: string): string;
}

const plain = (text: string): string => text;
const code =
  (start: number, end: number) =>
  (text: string): string =>
    `\u001b[${start}m${text}\u001b[${end}m`;

export function paintFor(terminal: boolean, environment: Readonly<Record<string, string | undefined>>): Paint {
  return paintNamed(wantsColour(terminal, environment));
}

export function wantsColour(terminal: boolean, environment: Readonly<Record<string, string | undefined>>): boolean {
  return terminal && !environment.NO_COLOR && environment.TERM !== "dumb";
}

export function paintNamed(colour: boolean): Paint {
  if (!colour) return { strong: plain, faint: plain, error: plain, warning: plain, information: plain };
  return {
    strong: code(1, 22),
    faint: code(2, 22),
    error: code(31, 39),
    warning: code(33, 39),
    information: code(36, 39),
  };
}

/** Columns padded to their widest cell; the last one is not padded. */
export function table(rows: readonly (readonly string[])[], indent = "  "): string[] {
  const widths: number[] = [];
  for (const row of rows) {
    row.forEach((cell, column) => {
      widths[column] = Math.max(widths[column] ?? 0, [...cell].length);
    });
  }
  return rows.map(
    (row) =>
      indent +
      row
        .map((cell, column) =>
          column === row.length - 1 ? cell : cell + " ".repeat(widths[column]! - [...cell].length),
        )
        .join("  ")
        .trimEnd(),
  );
}

/** A sentence folded at `width`, each line behind `indent`. */
export function folded(text: string, indent: string, width = 100): string[] {
  const lines: string[] = [];
  let line = "";
  for (const word of text.split(/\s+/)) {
    if (line !== "" && line.length + 1 + word.length > width - indent.length) {
      lines.push(indent + line);
      line = word;
    } else line = line === "" ? word : `${line} ${word}`;
  }
  if (line !== "") lines.push(indent + line);
  return lines;
}
