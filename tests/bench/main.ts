/** `npm run bench`: how fast everything is, on this computer, in one run. */
import { readFileSync } from "node:fs";
import { cpus } from "node:os";
import { parse } from "../../grammar/parse.ts";
import { resolveFile } from "../../server/machine/index.ts";
import type { Machine } from "../../server/machine/machine.ts";
import { benchBeside } from "./beside.ts";
import { benchComparisons } from "./comparisons.ts";
import { benchLanguage } from "./language.ts";
import { benchPictures } from "./pictures.ts";
import { benchAgainstPlain } from "./plain-walk.ts";
import { benchFaultFinding } from "./simulated-benches.ts";
import { benchSolver } from "./solver.ts";
import { benchStates } from "./states.ts";
import { milliseconds as ms, printTable } from "./table.ts";
import { type BenchText, benchText, generatedText } from "./texts.ts";

async function main(): Promise<void> {
  const began = performance.now();
  const processors = cpus();
  console.log(`Node ${process.version}, ${processors.length} cores (${processors[0]?.model.trim() ?? "unknown"})`);
  console.log("Medians of several runs (of the longest text fewer), nothing else done meanwhile by this program.");

  const dryer = readFileSync("samples/electric-dryer.camleaf", "utf8");
  const texts: { text: BenchText; runs: number }[] = [
    { text: benchText("a whole dryer (sample)", dryer), runs: 9 },
    { text: generatedText(100), runs: 9 },
    { text: generatedText(1_000), runs: 9 },
    { text: generatedText(10_000), runs: 2 },
  ];

  const language: string[][] = [];
  const typing: string[][] = [];
  const beside: string[][] = [];
  for (const { text, runs } of texts) {
    const name = [text.name, String(text.lines), String(text.machines)];
    const timing = await benchLanguage(text, runs);
    const { keystroke } = timing;
    language.push([
      ...name,
      ms(timing.parse),
      ms(timing.names),
      ms(timing.whole),
      ms(timing.longestJob),
      String(timing.findings),
      String(timing.notCovered),
    ]);
    typing.push([...name, ms(keystroke.names), ms(keystroke.states), ms(keystroke.all), ms(timing.hover)]);
    const maybe = (value: number | undefined) => (value === undefined ? "-" : ms(value));
    for (const other of await benchBeside(text.text, runs))
      beside.push([
        text.name,
        other.name,
        String(other.lines),
        ms(other.early),
        ms(other.keystroke),
        maybe(other.stateShown),
        maybe(other.hover),
        maybe(other.hoverAgain),
        maybe(other.completion),
        maybe(other.rename),
        maybe(other.format),
      ]);
  }
  const name = ["text", "lines", "machines"];
  printTable(
    "A text never seen before. Long files hold several machines of about 130 lines each.",
    [...name, "parse", "names", "all states and checks", "longest job", "findings", "not covered"],
    language,
  );
  printTable(
    "After a keystroke (a digit of a heater's watts in the middle of the file): time to each phase; and a hover.",
    [...name, "names", "states", "all", "hover"],
    typing,
  );
  printTable(
    "Beside general-purpose language services on as many lines, their waiting times left out (vscode-json-languageservice, vscode-css-languageservice, yaml-language-server). From a keystroke to all problems, here those of every state of the machine; then what is asked after it, nothing of it asked before: the state that hints and hovers speak of, a hover and the same once more, the rest once. Early: the first five keystrokes; the rest is the median of the second half of up to 240, the code warm in all.",
    [
      "text",
      "language",
      "lines",
      "early",
      "keystroke",
      "state shown",
      "hover",
      "again",
      "completion",
      "rename",
      "format",
    ],
    beside,
  );

  const washer = readFileSync("samples/top-loading-washer.camleaf", "utf8");
  const drawn = [texts[0]!.text, benchText("a whole washer (sample)", washer), texts[1]!.text, texts[2]!.text];
  const pictures: string[][] = [];
  for (const text of drawn) {
    const { atRest, live, afterKey, drawing } = await benchPictures(text, 5);
    pictures.push([text.name, String(text.lines), ms(atRest), ms(live), ms(afterKey), ms(drawing)]);
  }
  printTable(
    "The circuit drawing: from opening a text to the machine at rest and to the chosen state, which waits for every state; from a keystroke to the new drawing of that state, and of it the drawing alone.",
    ["text", "lines", "opened, at rest", "opened, chosen state", "keystroke", "drawing"],
    pictures,
  );

  printTable(
    "The solver of one state, by number of unknown voltages (best of several rounds)",
    ["unknowns", "equations alone", "one whole state"],
    benchSolver().map((timing) => [
      String(timing.unknowns),
      `${timing.equations.toFixed(1)} us`,
      `${timing.state.toFixed(1)} us`,
    ]),
  );

  benchStates();
  benchAgainstPlain(
    ["gas-burner", "fan-heater", "electric-dryer", "top-loading-washer"].map((name) => [
      `${name.replaceAll("-", " ")} (sample)`,
      machineOf(name),
    ]),
  );
  printTable(
    "What a rewire changes, the worked proposals of the samples (processor time): the difference alone, with both engines made anew, and the whole verdict after a keystroke in the proposal, all checks of the changed machine included.",
    ["proposal", "difference", "with both engines", "verdict"],
    benchComparisons(9).map(({ name, difference, withEngines, verdict }) => [
      name.replaceAll("-", " "),
      ms(difference),
      ms(withEngines),
      ms(verdict),
    ]),
  );
  benchFaultFinding();
  console.log(`\nWhole run: ${((performance.now() - began) / 1000).toFixed(0)} s`);
}

function machineOf(sample: string): Machine {
  const names = ["parts", sample].map((name) => `${name}.camleaf`);
  const files = new Map(names.map((name) => [name, parse(readFileSync(`samples/${name}`, "utf8"))]));
  return resolveFile(files, `${sample}.camleaf`).machines[0]!;
}

void main();
