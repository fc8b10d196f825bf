/** Prints aligned tables: words to the left, numbers to the right. */
export function printTable(title: string, head: readonly string[], rows: readonly (readonly string[])[]): void {
  const widths = head.map((word, column) => Math.max(word.length, ...rows.map((row) => row[column]!.length)));
  const line = (cells: readonly string[]): string =>
    `  ${cells.map((cell, column) => (column === 0 ? cell.padEnd(widths[0]!) : cell.padStart(widths[column]!))).join("  ")}`;
  console.log(`\n${title}`);
  console.log(line(head));
  for (const row of rows) console.log(line(row));
}

export function milliseconds(value: number): string {
  return `${value.toFixed(value < 1 ? 2 : value < 10 ? 1 : 0)} ms`;
}
