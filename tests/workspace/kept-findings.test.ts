/** A file of several machines: what is kept from the text before says the same as a fresh analysis, at the right places. */
import { readdirSync, readFileSync } from "node:fs";
import { expect, test } from "vitest";
import type { Finding } from "../../server/base/finding.ts";
import type { Pipeline } from "../../server/workspace/pipeline.ts";
import { makeStandardPipeline } from "../../server/workspace/standard-pipeline.ts";
import { generatedMachine } from "../bench/generated-machine.ts";

const file = "bench.camleaf";

function finish<T>(run: Generator<void, T>): { value: T; jobs: number } {
  let jobs = 0;
  for (;;) {
    const step = run.next();
    jobs++;
    if (step.done) return { value: step.value, jobs };
  }
}

function analyse(pipeline: Pipeline, text: string): { findings: Finding[]; missing: string[]; jobs: number } {
  const tree = pipeline.parse(text);
  const source = { file, tree, used: () => ({ missing: "not-found" as const }) };
  const main = finish(pipeline.analyse(source, pipeline.name(source)));
  const later = finish(pipeline.later(source, main.value));
  return {
    findings: [...main.value.findings, ...later.value.findings],
    missing: [...main.value.missing],
    jobs: main.jobs + later.jobs,
  };
}

const samples = [
  "samples/gas-burner.camleaf",
  "samples/fan-heater.camleaf",
  "samples/ideas/neutral-side-switch.camleaf",
  "samples/ideas/series-load.camleaf",
  "samples/ideas/half-volts.camleaf",
];
/** Their comments left out, so that each machine's text ends where the next begins; broken on purpose so that there are findings. */
const text = samples
  .map((sample) => readFileSync(sample, "utf8"))
  .join("\n")
  .replace("bond GV.frame to PE", "")
  .replaceAll("rated 15 A 125 V", "rated 2 A 125 V");

const edits: readonly [what: string, edit: (text: string) => string][] = [
  ["a line before everything", (t) => `# a remark\n\n${t}`],
  ["remarks between the lines of every machine", (t) => t.replaceAll(/^wire /gm, "# a remark\nwire ")],
  ["blanks between words", (t) => t.replaceAll(" rated ", "   rated ").replaceAll(" to ", "  to ")],
  ["a note", (t) => `${t}\nnote E1 "looked at"\n`],
  ["properties in another order", (t) => t.replace("opens 121 C closes 93 C", "closes 93 C opens 121 C")],
  ["a label", (t) => t.replace('"', '"new ')],
  ["every label", (t) => t.replaceAll(/^(?!machine|use|note|#)([a-z-]+ \w+) "[^"]*"/gm, '$1 "the same"')],
  ["each label by the name", (t) => t.replaceAll(/^([a-z-]+ )(\w+) "the same"/gm, '$1$2 "part $2, \\"$2\\""')],
  ["a switch becomes a door", (t) => t.replace(/^(switch \w+) "(?:[^"\\]|\\.)*"/m, '$1 "door"')],
  ["an empty label", (t) => t.replace(/^(heater \w+) "(?:[^"\\]|\\.)*"/m, '$1 ""')],
  ["a label with a mark of our own", (t) => t.replace(/"part (\w+)/, '"\ue0000\ue001 $1')],
  ["and labels as they were", (t) => t.replace("\ue0000\ue001", "part")],
  ["a silencer in a line of its own", (t) => t.replace("wire ", "# silence wire-size: short lead\nwire ")],
  ["that silencer one line up", (t) => t.replace(/(# silence wire-size: short lead\n)/, "$1\n")],
  ["without it", (t) => t.replace(/# silence wire-size: short lead\n/, "")],
  ["a digit in the first machine", (t) => t.replace("draws 3.3 A", "draws 13.3 A")],
  ["a longer name in the first machine", (t) => t.replaceAll(/\bHL\b/g, "HLIMIT")],
  ["a rating in the first machine", (t) => t.replace("rated 2 A 125 V", "rated 20 A 125 V")],
  ["a silencer in the last machine", (t) => `${t}\n# silence contact-over-rating: bench only\n`],
  ["a machine taken away in front", (t) => t.slice(t.indexOf("machine ", t.indexOf("machine ") + 10))],
  ["the line ends of another system", (t) => t.replaceAll("\n", "\r\n")],
  ["a supply of other volts everywhere", (t) => t.replaceAll("single 120 V", "single 125 V")],
];

test("after each edit the findings are those of a pipeline that never saw another text", () => {
  const pipeline = makeStandardPipeline();
  const first = analyse(pipeline, text);
  expect(first.findings.length).toBeGreaterThan(5);
  let now = text;
  for (const [what, edit] of edits) {
    const next = edit(now);
    expect(next, what).not.toBe(now);
    now = next;
    const { findings, missing } = analyse(pipeline, now);
    const fresh = analyse(makeStandardPipeline(), now);
    expect(findings, what).toEqual(fresh.findings);
    expect(missing, what).toEqual(fresh.missing);
    // Each finding points into the text of today: nothing beyond its end.
    for (const { place } of findings) expect(place.to).toBeLessThanOrEqual(now.length);
  }
});

/** Edits of one line each; a step taken back is one too. */
const electricalEdits: readonly [what: string, edit: (text: string) => string][] = [
  ["the watts of a heater", (t) => t.replace(/^(heater \w+ )(\d+)/m, "$19$2")],
  ["the amps of a valve", (t) => t.replace(/^(valve \w+ 120 V draws )\d+/m, "$1250")],
  ["a step of the chart", (t) => t.replace(/^( {4}r3 .{20})(.)/m, (_, a, cell) => `${a}${cell === "X" ? "-" : "X"}`)],
  ["another throw of a selector", (t) => t.replace("in p1 or p3", "in p1 or p2")],
  ["a lamp of other volts", (t) => t.replace(/^(lamp \w+ 15 W) 120 V/m, "$1 240 V")],
  ["a lead taken off", (t) => t.replace(/^wire [^\n]*VL[^\n]*\n/m, "")],
  ["and the supply turned down", (t) => t.replace("120/240 V 60 Hz", "115/230 V 60 Hz")],
];

// What is noted beside an engine is found again after edits elsewhere in the machine, and never after edits that bear on it.
test.each([2, 3, 4])("generated machine %i: after each edit the findings are those of a fresh analysis", (seed) => {
  const pipeline = makeStandardPipeline();
  let now = generatedMachine({ seed, devices: 8 }).text;
  expect(analyse(pipeline, now).findings.length).toBeGreaterThan(3);
  const before = now;
  let edited = 0;
  for (const [what, edit] of [...electricalEdits, ["all taken back", () => before] as const]) {
    if (edit(now) !== now) edited++;
    now = edit(now);
    const { findings, missing } = analyse(pipeline, now);
    const fresh = analyse(makeStandardPipeline(), now);
    expect(findings, what).toEqual(fresh.findings);
    expect(missing, what).toEqual(fresh.missing);
  }
  expect(edited).toBeGreaterThan(5);
});

test("a label costs no check at all", () => {
  const pipeline = makeStandardPipeline();
  const labelled = text.replace(/^(heater \w+)( "[^"]*")?/m, '$1 "coil"');
  const whole = analyse(pipeline, labelled);
  expect(whole.findings.some(({ what }) => what.includes("(coil)"))).toBe(true);
  const again = analyse(pipeline, labelled.replaceAll('"coil"', '"a coil"'));
  expect(again.jobs).toBeLessThan(5);
  expect(again.findings.map(({ what }) => what)).toEqual(
    whole.findings.map(({ what }) => what.replaceAll("(coil)", "(a coil)")),
  );
});

test("a remark, a note and blanks cost no check at all", () => {
  const pipeline = makeStandardPipeline();
  const edited = (t: string) =>
    `# one\n${t.replaceAll(" to ", "  to ").replace("wire ", "\n# two\nwire ")}\nnote E1 "new"\n`;
  const whole = analyse(pipeline, text);
  const again = analyse(pipeline, edited(text));
  expect(again.jobs).toBeLessThan(5);
  expect(again.findings.map(({ what }) => what)).toEqual(whole.findings.map(({ what }) => what));
});

test("machines that stayed the same are not checked again", () => {
  const pipeline = makeStandardPipeline();
  const whole = analyse(pipeline, text).jobs;
  const edited = text.replace("draws 3.3 A", "draws 3.4 A");
  expect(edited).not.toBe(text);
  const one = analyse(pipeline, edited).jobs;
  const none = analyse(pipeline, edited).jobs;
  expect(one).toBeLessThan(whole / 2);
  expect(none).toBeLessThan(one / 2);
  // Undone: known as well.
  const undone = analyse(pipeline, text).jobs;
  expect(undone).toBeLessThan(one / 2);
});

test("checks look at nothing of a machine that its description leaves out", () => {
  const folder = new URL("../../server/checks/", import.meta.url);
  const files = readdirSync(folder, { recursive: true, encoding: "utf8" }).filter((name) => name.endsWith(".ts"));
  expect(files.length).toBeGreaterThan(30);
  const reads = files.filter((name) =>
    /\.(notes|proposals|benchFindings|mentions)\b|[{,]\s*(notes|proposals|benchFindings|mentions)\s*[,}]/.test(
      readFileSync(new URL(name, folder), "utf8"),
    ),
  );
  expect(reads).toEqual([]);
  // Earlier findings are asked for unused parts and whether there is an error, and the text for what is expected, and for silencers.
  const findings = files.filter((name) => /machine\.findings\b/.test(readFileSync(new URL(name, folder), "utf8")));
  expect(findings.sort()).toEqual(["currents.ts", "run-checks.ts"]);
  // Labels stand in sentences, and nothing hangs on them but whether there is one; those that decide (hazards.ts, LABEL_DECIDES) stay.
  const labels = files.filter((name) =>
    /\.label\b|[{,]\s*label\s*[,}]/.test(readFileSync(new URL(name, folder), "utf8")),
  );
  expect(labels.sort()).toEqual(["guard-defeated/check.ts", "hazards.ts", "words.ts"]);
  const trees = files.filter((name) => /\.tree\b|[{,]\s*tree\s*[,}]/.test(readFileSync(new URL(name, folder), "utf8")));
  expect(trees.sort()).toEqual(["expectation/check.ts", "silence.ts"]);
});
