/** The samples and the six real circuits are read without a word of complaint about the writing. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import { filesIn, read, root, told } from "./read.ts";

const files = ["samples", "samples/ideas", "samples/proposals", "samples/bench", "tests/language/cases"].flatMap(
  filesIn,
);

describe("samples and cases are read", () => {
  test.each(files)("%s", (file) => {
    const text = readFileSync(join(root, file), "utf8");
    const { source, findings } = read(file, text);
    expect(source.tree.errors.map((e) => `line ${text.slice(0, e.from).split("\n").length}: ${e.what}`)).toEqual([]);
    expect(told(findings, text)).toEqual([]);
  });

  test("CRLF and blank lines change nothing but places", () => {
    for (const file of filesIn("samples")) {
      const text = readFileSync(join(root, file), "utf8");
      const plain = read(file, text);
      const other = read(file, text.replaceAll("\n", "\r\n\r\n"));
      expect(other.source.tree.errors).toEqual([]);
      expect(other.machines.map(({ machine }) => machine.loads.map((load) => [load.name, load.impedance]))).toEqual(
        plain.machines.map(({ machine }) => machine.loads.map((load) => [load.name, load.impedance])),
      );
    }
  });
});
