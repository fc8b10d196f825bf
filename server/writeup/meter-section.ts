/** "What the meter should read": how to test each part, unplugged. */
export interface WrittenTest {
  readonly name: string;
  readonly lines: readonly { readonly name: string; readonly text: string }[];
}

/** Empty without tests. `escaped` makes text of the file harmless. */
export function meterSection(tests: readonly WrittenTest[], escaped: (text: string) => string): string {
  if (tests.length === 0) return "";
  const intro =
    "<p>Unplugged, capacitors discharged. Readings are of a cold machine; the leads named come off first, since every other path between the points counts too.</p>";
  const rows = tests.map(({ name, lines }) => {
    const cells = lines.map(
      (line) => `<tr><th scope="row">${escaped(line.name)}</th><td>${escaped(line.text)}</td></tr>`,
    );
    return `<h3>${escaped(name)}</h3>\n<table>${cells.join("")}</table>`;
  });
  return [intro, ...rows].join("\n");
}
