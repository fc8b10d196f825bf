/** The command line: reads arguments, prints, and leaves with an exit code. All thinking is done behind the service. */
import { Command, Option } from "commander";
import { type CheckFormat, check, type Output } from "./check-command.ts";
import { compare, compareFiles } from "./compare-command.ts";
import { diagnoseFile } from "./diagnose-command.ts";
import { format } from "./format-command.ts";
import { progressOn, servesAsThread } from "./many-files.ts";
import { overview } from "./overview-command.ts";
import { paintFor, wantsColour } from "./paint.ts";
import { chart, type DrawingChoice, drawing } from "./picture-commands.ts";
import { readings } from "./readings-command.ts";
import { solve } from "./solve-command.ts";
import { textOf } from "./text-of-command.ts";
import { watch } from "./watch-command.ts";
import { type WriteUpChoice, writeUpCommand } from "./write-up-command.ts";

const output: Output = {
  line: (text) => void process.stdout.write(`${text}\n`),
  complaint: (text) => void process.stderr.write(`${text}\n`),
  paint: paintFor(process.stdout.isTTY === true, process.env),
  colour: wantsColour(process.stdout.isTTY === true, process.env),
};
// A reader that closes early (`| head`) is no fault of ours.
process.stdout.on("error", (error: { code?: string }) => {
  if (error.code === "EPIPE") process.exit(0);
  throw error;
});

/** Put in when the program is bundled (build.mjs). */
declare const CAMLEAF_VERSION: string;
const version = CAMLEAF_VERSION;

const program = new Command("camleaf")
  .version(version)
  .description("Checks circuits of appliances written as text, over every state of the machine.")
  .exitOverride((error) => process.exit(error.exitCode === 0 ? 0 : 2));

const symbolsOption = () =>
  new Option("--symbols <standard>", "symbols after IEC 60617 or IEEE 315").choices(["iec", "ieee"]).default("iec");

program
  .command("check")
  .description("findings with their lines; exit code 1 when there are errors, 2 when a file cannot be read")
  .argument("<file...>", "files, folders, or patterns in quotes: machines, 'shop/**/*.camleaf'")
  .addOption(
    new Option("--format <format>", "for people, or for programs").choices(["plain", "json", "sarif"]).default("plain"),
  )
  .option("--json", "the same as --format json")
  .action(async (files: string[], options: { format: CheckFormat; json?: boolean }) => {
    const chosen = options.json ? "json" : options.format;
    process.exitCode = await check(files, { format: chosen, version, progress: progressOn(process.stderr) }, output);
  });

program
  .command("watch")
  .description("checks again whenever one of the files changes, until Ctrl+C")
  .argument("<file...>")
  .action(async (files: string[]) => {
    const stop = new AbortController();
    process.once("SIGINT", () => stop.abort());
    process.once("SIGTERM", () => stop.abort());
    process.exitCode = await watch(files, output, stop.signal);
  });

program
  .command("format")
  .description("puts the white space of files in order; what they mean stays as it is")
  .argument("<file...>")
  .option("--check", "write nothing; name the files that are not in order and leave with 1")
  .option("--print", "print the text instead of writing the file")
  .action(async (files: string[], options: { check?: boolean; print?: boolean }) => {
    process.exitCode = await format(files, options, output);
  });

program
  .command("text-of")
  .description("gets the machine's text back out of a write-up")
  .argument("<page>")
  .option("--out <file>", "write it there instead of printing it")
  .action(async (page: string, options: { out?: string }) => {
    process.exitCode = await textOf(page, options.out, output);
  });

program
  .command("solve")
  .description("volts, amps and watts of each load and contact in one state")
  .argument("<file>")
  .option("--when <condition>", 'what must hold, as in the language: "TM in timed, DOOR shut"', "")
  .option("--json", "print numbers as JSON")
  .action(async (file: string, options: { when: string; json?: boolean }) => {
    process.exitCode = await solve(file, options.when, options.json === true, output);
  });

program
  .command("overview")
  .description("the whole machine on one page: what each load gets, what each contact switches, findings")
  .argument("<file>")
  .action(async (file: string) => {
    process.exitCode = await overview(file, output);
  });

program
  .command("drawing")
  .description("the circuit drawn as a ladder, as SVG or PNG; at rest, or live in one state")
  .argument("<file>")
  .option("--when <condition>", 'show the currents of this state: "TM in timed, DOOR shut, DM running"')
  .option("--sections", "a sheet for each section: feed, motor, heat, valves, ...; several files, numbered")
  .option("--section <name>", "this section alone, by its word or number: heat")
  .addOption(symbolsOption())
  .option("--no-wire-colours", "leave out the coloured strokes; letters stay")
  .option("--out <file>", "write it there instead of printing it; .png is made through a browser of the computer")
  .action(async (file: string, options: DrawingChoice) => {
    process.exitCode = await drawing(file, options, output);
  });

program
  .command("chart")
  .description("the timer chart as bars, and the loads that work in each step, as SVG or PNG")
  .argument("<file>")
  .option("--out <file>", "write it there instead of printing it; .png is made through a browser of the computer")
  .action(async (file: string, options: { out?: string }) => {
    process.exitCode = await chart(file, options.out, output);
  });

program
  .command("write-up")
  .description(
    "the machine as one page, HTML or Markdown: circuit, program, readings, wires, findings, notes, cautions and its text",
  )
  .argument("<file>")
  .addOption(symbolsOption())
  .option("--no-wire-colours", "leave out the coloured strokes in the drawing; letters stay")
  .addOption(
    new Option("--format <format>", "by the ending of --out when left out (.md is Markdown)").choices([
      "html",
      "markdown",
    ]),
  )
  .option("--out <file>", "name of the page; the file's own name with .html or .md when left out")
  .action(async (file: string, options: WriteUpChoice) => {
    process.exitCode = await writeUpCommand(file, options, output);
  });

program
  .command("compare")
  .description(
    "what the proposals of a file would change, or how two files differ, over every state, in order of danger; exit code 1 for danger, 3 for trouble",
  )
  .argument("<file>")
  .argument("[other]", "the machine as it would be; then both files are compared as they stand")
  .option("--proposal <label>", "only the proposal of this name")
  .option("--json", "print as JSON")
  .action(async (file: string, other: string | undefined, options: { proposal?: string; json?: boolean }) => {
    process.exitCode =
      other === undefined
        ? await compare(file, options, output)
        : await compareFiles(file, other, options.json === true, output);
  });

program
  .command("readings")
  .description(
    "what a meter should read: how to test each part, between two points, or all over a state or program step",
  )
  .argument("<file>")
  .option("--part <name>", "only this part")
  .option("--between <points...>", "two points, or one part: HT.1 HT.2")
  .option("--when <condition>", 'the state to read in: "TM in timed, DOOR shut, DM running"')
  .option("--step <step>", 'the program step to read in: "timed 3"')
  .option("--json", "print as JSON")
  .action(
    async (
      file: string,
      options: { part?: string; between?: string[]; when?: string; step?: string; json?: boolean },
    ) => {
      process.exitCode = await readings(file, options, output);
    },
  );

program
  .command("diagnose")
  .description("what is likely dead by the findings of a file, and the reading to take next with its safe steps")
  .argument("<file>")
  .option("--findings <label>", "only the findings of this name")
  .option("--json", "print as JSON")
  .action(async (file: string, options: { findings?: string; json?: boolean }) => {
    process.exitCode = await diagnoseFile(file, options.findings, options.json === true, output);
  });

if (!servesAsThread()) void program.parseAsync();
