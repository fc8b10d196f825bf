/** Findings blocks in the editor: told at their lines, also where the machine stands in another file. */
import { expect, test } from "vitest";
import { parse } from "../../grammar/parse.ts";
import { findingText } from "../../server/base/finding.ts";
import { makeStandardPipeline } from "../../server/workspace/standard-pipeline.ts";
import { toEnd } from "../checks/analysed.ts";

const machine = `machine "M"
supply single 240 V 60 Hz
switch S 1 to 2 closed in on, open in off  rated 16 A 250 V
limit HL opens 110 C closes 90 C senses HT rated 16 A 250 V
heater HT 2400 W 240 V
wire L to S to HL to HT to N
`;

function later(text: string, others: Readonly<Record<string, string>> = {}) {
  const trees = new Map(Object.entries(others).map(([name, each]) => [name, parse(each)]));
  const pipeline = makeStandardPipeline();
  const source = {
    file: "main.camleaf",
    tree: parse(text),
    used: (_: string, path: string) =>
      trees.has(path) ? { file: path, tree: trees.get(path)! } : ({ missing: "not-found" } as const),
  };
  const analysed = toEnd(pipeline.analyse(source, pipeline.name(source)));
  return toEnd(pipeline.later(source, analysed))
    .findings.filter(({ id }) => id.startsWith("bench-") || id.startsWith("findings-"))
    .map(
      (finding) =>
        `${text.slice(finding.place.from, finding.place.to).split("\n")[0]!.trim()} | ${finding.gravity} ${finding.id}: ${findingText(finding)}`,
    );
}

const block = `findings "does not heat" {
  when S on
  seen HT cold
  volts HT.1 to HT.2  240 V
  ohms HT.1 to HT.2 open unplugged lifted HT.1
}
`;

test("each line agrees or disagrees with what a sound machine shows, and the head names the suspects", () => {
  const told = later(machine + block);
  expect(told[0]).toMatch(/^seen HT cold \| information bench-disagrees: HT of a sound machine works here\./);
  expect(told[1]).toMatch(/^volts HT.1 to HT.2 {2}240 V \| hint bench-agrees: A sound machine shows this too\./);
  // 240 V squared over 2400 W is 24 ohm hot; cold 24 / 1.018 (Cr20Ni80 at 600 °C, GB/T 1234).
  expect(told[2]).toMatch(/bench-disagrees: A sound machine shows 23\.6 ohm here\./);
  expect(told[3]).toMatch(
    /^findings "does not heat" \| information bench-suspects: Likeliest by these findings: HT is open \(almost certain\)\./,
  );
});

test("a file of findings alone is about the machine of the file that it uses", () => {
  const told = later(`use "machine.camleaf"\n${block}`, { "machine.camleaf": machine });
  expect(told).toHaveLength(4);
  expect(told.at(-1)).toMatch(/HT is open/);
});

test("what is not understood is told once, at its line, and never stops the rest", () => {
  const told = later(
    `use "machine.camleaf"
findings "x" {
  when S on
  heard HT sings
  seen XX cold
  volts HT.9 to N 3 V
  seen HT cold
}
`,
    { "machine.camleaf": machine },
  );
  expect(told.filter((line) => line.includes("findings-")).map((line) => line.split(":")[0])).toEqual([
    "heard HT sings | information findings-not-understood",
    "XX | warning findings-unknown",
    "HT.9 | warning findings-unknown",
  ]);
  expect(told.join("\n")).toMatch(/Likeliest by these findings: HT is open/);
});

test("half-typed findings never throw", () => {
  for (let end = 0; end <= block.length; end += 3) expect(() => later(machine + block.slice(0, end))).not.toThrow();
});
