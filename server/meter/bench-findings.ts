/** What the lines of a findings block come to, as findings at those lines: agrees or disagrees with a sound machine, and what is likeliest. */
import type { FindingsStatement } from "../../grammar/tree.ts";
import type { Finding } from "../base/finding.ts";
import { list } from "../checks/words.ts";
import type { Engine } from "../states/engine.ts";
import { type BenchCase, type Observation, readCase } from "./case.ts";
import { faultJobs } from "./diagnose.ts";
import { type Ranking, rankJobs } from "./rank.ts";
import { Predictor } from "./reading.ts";
import { comparisonText, oddsText, suspectWords } from "./say.ts";

/** In jobs of some milliseconds. `file` and `text`: where the block stands. */
export function* benchFindings(
  engine: Engine,
  statement: FindingsStatement,
  file: string,
  text: string,
): Generator<void, Finding[]> {
  const bench = readCase(engine, statement, file, text);
  if (bench.observations.length === 0) return [...bench.findings];
  yield;
  const faults = yield* faultJobs(engine);
  const ranking = yield* rankJobs(new Predictor(engine.circuit, bench.situations), faults, bench.observations);
  const verdicts = bench.observations.map((_, o) => comparisonText(bench, ranking, o));
  return [...bench.findings, ...lines(bench, verdicts), ...headline(statement, file, ranking, verdicts)];
}

type Verdict = ReturnType<typeof comparisonText>;

/** `HT of a sound machine works here`, `A sound machine shows 10.5 ohm here`. */
function soundly({ reading }: Observation, expected: string): string {
  if (reading.of === "stands") return "A sound machine would not stand so here.";
  if (reading.of !== "symptom") return `A sound machine shows ${expected} here.`;
  const subject = reading.subject.breaker ? "The breaker" : reading.subject.name;
  const does = expected === "off" || expected === "weak" ? `is ${expected}` : expected;
  return `${subject} of a sound machine ${does} here.`;
}

function lines({ observations }: BenchCase, verdicts: readonly Verdict[]): Finding[] {
  return observations.flatMap(({ place }, o): Finding[] => {
    const { agrees, expected } = verdicts[o]!;
    if (agrees === undefined)
      return [
        {
          id: "bench-untold",
          gravity: "hint",
          place,
          what: `What a sound machine shows here: ${expected}.`,
          advice: "Write the resistance of the parts on the way, as the meter reads them.",
          related: [],
        },
      ];
    if (agrees)
      return [
        {
          id: "bench-agrees",
          gravity: "hint",
          place,
          what: "A sound machine shows this too.",
          advice: "Nothing is to be mended here; take the next reading.",
          related: [],
        },
      ];
    return [
      {
        id: "bench-disagrees",
        gravity: "information",
        place,
        what: soundly(observations[o]!, expected),
        why: "What explains the difference is among the suspects.",
        advice: "See the suspects at the head of these findings.",
        related: [],
      },
    ];
  });
}

function headline(
  statement: FindingsStatement,
  file: string,
  { suspects }: Ranking,
  verdicts: readonly Verdict[],
): Finding[] {
  if (!verdicts.some(({ agrees }) => agrees === false)) return [];
  const shown = suspects.filter(({ probability }, i) => i === 0 || probability >= 0.05).slice(0, 4);
  const words = shown.map((suspect) => `${suspectWords(suspect)} (${oddsText(suspect.probability)})`);
  return [
    {
      id: "bench-suspects",
      gravity: "information",
      place: { file, from: statement.from, to: statement.label?.to ?? Math.min(statement.to, statement.from + 8) },
      what: `Likeliest by these findings: ${list(words, "or")}.`,
      why: "Single and double faults were put into the circuit and compared with everything that was observed.",
      advice: "The bench view, or camleaf diagnose, has the reading to take next with its safe steps.",
      related: shown
        .flatMap(({ faults }) =>
          faults.filter(({ place }) => place.file === file).map(({ place, words: text }) => ({ place, text })),
        )
        .slice(0, 4),
    },
  ];
}
