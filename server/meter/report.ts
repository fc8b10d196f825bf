/** A diagnosis as plain text in plain data: command line, write-up and editor show the same. */
import type { BenchReport, ReportedReading, ReportedSuspect } from "../base/bench.ts";
import type { Machine } from "../machine/machine.ts";
import type { Diagnosis } from "./diagnose.ts";
import type { Fault } from "./faults.ts";
import type { ReadingPlan } from "./next-reading.ts";
import {
  becauseWords,
  comparisonText,
  groupWords,
  oddsText,
  outcomeText,
  readingCondition,
  readingLine,
  readingTitle,
  safeSteps,
} from "./say.ts";

/** A suspect below this share is not listed, unless it is the first. */
const leastShown = 0.01;
const mostShown = 6;
/** From this share on a suspect is called the answer. */
const answerFrom = 0.9;

export function benchReport(machine: Machine, diagnosis: Diagnosis): BenchReport {
  const { bench, groups, plans } = diagnosis;
  const texts = bench.observations.map(({ text }) => text);
  const reported = plans.slice(0, 3).map((plan) => reportReading(machine, diagnosis, plan));
  const suspects = groups
    .slice(0, mostShown)
    .filter(({ probability }, i) => i === 0 || probability >= leastShown)
    .map((group): ReportedSuspect => {
      const because = becauseWords(group);
      return {
        odds: oddsText(group.probability),
        probability: group.probability,
        words: groupWords(group),
        ...(because === undefined ? {} : { because }),
        supports: group.supports.map((o) => texts[o]!),
        contradicts: group.contradicts.map((o) => texts[o]!),
        names: [
          ...new Set(group.suspects.flatMap(({ faults }) => faults.flatMap((fault) => drawnNames(machine, fault)))),
        ],
        alike: group.suspects.length,
      };
    });
  return {
    machine: machine.label,
    label: bench.label,
    states: [...new Set(bench.situations.map(({ words }) => words))],
    observations: bench.observations.map(({ text }, o) => {
      const { agrees, expected } = comparisonText(bench, diagnosis.ranking, o);
      return { text, verdict: agrees === undefined ? "untold" : agrees ? "agrees" : "disagrees", expected };
    }),
    ...(reported[0] ? { next: reported[0] } : {}),
    others: reported.slice(1),
    suspects,
    decided: (suspects[0]?.probability ?? 0) >= answerFrom && suspects[0]!.contradicts.length === 0,
    conclusion: conclusion(diagnosis, suspects),
  };
}

/** As drawings name it: a thing that is stuck by its contacts, a motor by its windings. */
function drawnNames(machine: Machine, { name, control, part }: Fault): string[] {
  if (control === undefined) return [name];
  const { contacts, loads } = machine.parts[part]!;
  return [name, ...contacts.map((id) => machine.contacts[id]!.name), ...loads.map((id) => machine.loads[id]!.name)];
}

function reportReading(machine: Machine, { bench, asked }: Diagnosis, plan: ReadingPlan): ReportedReading {
  const { reading } = plan.candidate;
  const condition = readingCondition(machine, reading, bench.situations);
  return {
    title: readingTitle(machine, reading),
    steps: safeSteps(machine, bench.situations, reading),
    outcomes: plan.outcomes.slice(0, 4).map((outcome) => outcomeText(plan, outcome, asked)),
    ...(condition === undefined ? {} : { condition }),
    ...readingLine(machine, reading),
    unit: { volts: "V", ohms: "ohm", amps: "A", watts: "W", symptom: "", stands: "" }[reading.of],
    words:
      reading.of !== "symptom"
        ? []
        : reading.subject.breaker
          ? ["trips", "holds"]
          : reading.subject.motor === undefined
            ? ["works", "weak", "off"]
            : ["runs", "hums", "off"],
    situation: reading.situation,
    live: reading.of === "volts" || reading.of === "amps" || reading.of === "watts",
  };
}

function conclusion(diagnosis: Diagnosis, suspects: readonly ReportedSuspect[]): string {
  const first = suspects[0];
  const { bench } = diagnosis;
  const disagree = bench.observations.some((_, o) => comparisonText(bench, diagnosis.ranking, o).agrees === false);
  if (!first || bench.observations.length === 0) return "Nothing was observed yet.";
  if (!disagree)
    return "Everything that was observed is what a sound machine shows. Write down what is not as it should be.";
  if (first.contradicts.length > 0)
    return `Nothing explains all of it: even the likeliest suspect contradicts ${first.contradicts.join("; ")}. Take that reading again before parts are bought.`;
  if (first.probability >= answerFrom)
    return `It points to this: ${first.words}.${first.alike > 1 ? " No reading tells these apart; look at both." : ""} Prove it with the part out before you buy one.`;
  return "Not decided yet: take the next reading.";
}
