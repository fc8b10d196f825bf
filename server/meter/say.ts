/** The bench's answers in words: expected values, suspects, the next reading with its safe steps. */
import { formatQuantity } from "../../grammar/quantity.ts";
import { describePosition } from "../machine/describe.ts";
import { describeLiteral } from "../machine/index.ts";
import type { Machine, MachineState, TerminalId } from "../machine/machine.ts";
import type { BenchCase } from "./case.ts";
import type { SuspectGroup } from "./diagnose.ts";
import type { Outcome, ReadingPlan } from "./next-reading.ts";
import { settingWords } from "./part-tests.ts";
import type { Ranking, Suspect } from "./rank.ts";
import type { Prediction, Reading } from "./reading.ts";
import type { Situation } from "./situation.ts";
import { ohmsText, voltsText } from "./words.ts";

export function predictionText(reading: Reading, predicted: Prediction): string {
  if (reading.of === "stands") return predicted.holds ? "so" : "not so";
  if (reading.of === "symptom") {
    if (reading.subject.breaker) return predicted.activity === "off" ? "trips" : "holds";
    return activityWords[predicted.activity ?? "off"];
  }
  if (predicted.low !== undefined && predicted.high !== undefined)
    return `between ${ohmsText(predicted.low)} and ${ohmsText(predicted.high)} (a resistance on the way is not written)`;
  if (predicted.value === undefined) return "not told as a number";
  switch (reading.of) {
    case "ohms":
      return predicted.value < 0.5 ? "below 0.5 ohm" : ohmsText(predicted.value);
    case "volts":
      return voltsText(predicted.value) + (predicted.floating ? " or stray volts" : "");
    case "amps":
      return predicted.value < 0.005 ? "0 A" : formatQuantity(Number(predicted.value.toPrecision(3)), "current");
    case "watts":
      return formatQuantity(Number(predicted.value.toPrecision(3)), "power");
  }
}

const activityWords = { off: "off", hums: "hums", weak: "weak", works: "works" } as const;

/** `ohms HT.1 to HT.2 unplugged, lead off HT.1`: what to do with the meter, in few words. */
export function readingTitle(machine: Machine, reading: Reading): string {
  const name = (terminal: TerminalId): string => machine.terminals[terminal]!.fullName;
  switch (reading.of) {
    case "volts":
      return `volts from ${name(reading.a)} to ${name(reading.b)}`;
    case "ohms": {
      const lifted = reading.lifted.length === 0 ? "" : `, lead off at ${reading.lifted.map(name).join(" and ")}`;
      return `ohms from ${name(reading.a)} to ${name(reading.b)}, unplugged${lifted}`;
    }
    case "amps":
    case "watts":
      return `${reading.of} of ${takenName(machine, reading)}`;
    case "symptom":
      if (reading.pressed) return `what ${reading.subject.name} does while ${buttonsOf(machine)} is held`;
      return reading.subject.breaker ? "whether the breaker holds" : `what ${reading.subject.name} does`;
    case "stands":
      return describeLiteral(machine, reading.claim);
  }
}

function liveLeg({ supply }: Machine): string {
  return (supply.legs.find(({ role }) => role === "live") ?? supply.legs[0])?.name ?? "L";
}

function takenName(machine: Machine, reading: Reading & { of: "amps" | "watts" }): string {
  if (reading.terminal !== undefined) return machine.terminals[reading.terminal]!.fullName;
  const { loads, contacts } = reading;
  if (loads?.length === 1) return machine.loads[loads[0]!]!.name;
  if (contacts?.length) return machine.contacts[contacts[0]!]!.name;
  return loads?.length ? machine.parts[machine.loads[loads[0]!]!.part]!.name : "the machine";
}

/** The line that goes into the findings block, split where the reading stands: `ohms HT.1 to HT.2 ` and ` unplugged lifted HT.1`. */
export function readingLine(machine: Machine, reading: Reading): { readonly before: string; readonly after: string } {
  const name = (terminal: TerminalId): string => machine.terminals[terminal]!.fullName;
  switch (reading.of) {
    case "volts":
      return { before: `volts ${name(reading.a)} to ${name(reading.b)} `, after: "" };
    case "ohms":
      return {
        before: `ohms ${name(reading.a)} to ${name(reading.b)} `,
        after: ` unplugged${reading.lifted.length === 0 ? "" : ` lifted ${reading.lifted.map(name).join(", ")}`}`,
      };
    case "amps":
    case "watts":
      return { before: `${reading.of} ${takenName(machine, reading)} `, after: "" };
    case "symptom":
      return {
        before: `seen ${reading.subject.breaker ? liveLeg(machine) : reading.subject.name} `,
        after: "",
      };
    case "stands":
      return { before: `when ${describeLiteral(machine, reading.claim)}`, after: "" };
  }
}

/** A condition line that must stand above the reading's own; undefined when the block's last situation holds. */
export function readingCondition(
  machine: Machine,
  reading: Reading,
  situations: readonly Situation[],
): string | undefined {
  if (reading.of === "symptom" && reading.pressed)
    return `when ${conditionWords(machine, situations[reading.situation]!.inputs[0]!)}`;
  if (reading.of !== "ohms" || !reading.standing) return undefined;
  const words = conditionWords(machine, reading.standing);
  return words === "" ? "when SUPPLY off" : `when ${words}`;
}

function buttonsOf(machine: Machine): string {
  return machine.controls
    .filter(({ role }) => role === "push")
    .map(({ name }) => name)
    .join(" or ");
}

function conditionWords(machine: Machine, state: MachineState): string {
  return machine.controls
    .filter(({ id, rest, settled }) => !settled && id !== machine.supply.control && state[id] !== rest)
    .map((control) => `${control.name} ${describePosition(control, state[control.id]!)}`)
    .join(", ");
}

export function suspectWords({ faults }: Suspect): string {
  if (faults.length === 0) return "nothing that a meter can find (gone again, a setting, water, air, a drive part)";
  return faults.map(({ words }) => words).join(", and ");
}

/** `TM.adv to K never makes`, without the label in brackets: for lists. */
export function groupWords({ suspects }: SuspectGroup): string {
  const shown = suspects.slice(0, 4).map(suspectWords);
  const more = suspects.length > 4 ? ` or one of ${suspects.length - 4} more` : "";
  return shown.join("; or ") + more;
}

export function becauseWords({ suspects }: SuspectGroup): string | undefined {
  return suspects
    .flatMap(({ faults }) => faults.map(({ because }) => because))
    .find((because) => because !== undefined);
}

/** Odds as a person says them: never 0 or 100. */
export function oddsText(probability: number): string {
  const percent = Math.round(probability * 100);
  return percent >= 99 ? "almost certain" : percent < 1 ? "under 1 %" : `${percent} %`;
}

export function outcomeText(plan: ReadingPlan, outcome: Outcome, asked: readonly Suspect[], most = 2): string {
  const names = outcome.suspects.slice(0, most).map((i) => suspectWords(asked[i]!));
  const more = outcome.suspects.length > most ? ` or ${outcome.suspects.length - most} more` : "";
  return `${predictionText(plan.candidate.reading, outcome.prediction)}: ${names.join("; or ")}${more}`;
}

/** What to do, step by step. Never a lead across a guard, cut-out or anything else with the power on. */
export function safeSteps(machine: Machine, situations: readonly Situation[], reading: Reading): string[] {
  const name = (terminal: TerminalId): string => machine.terminals[terminal]!.fullName;
  const capacitors = machine.loads.filter(({ kind }) => kind === "capacitor").map(({ name: each }) => each);
  const discharge =
    capacitors.length > 0 ? [`Discharge ${capacitors.join(" and ")} through a resistor of some kilohms.`] : [];
  const proved = "Prove dead: meter on a live source, then here, then on the live source again.";
  const situation = situations[reading.situation];
  switch (reading.of) {
    case "symptom":
    case "stands":
      return [
        `With everything closed up and ${situation?.words ?? "the machine on"}, look and listen; touch nothing inside.`,
      ];
    case "ohms": {
      const setting = reading.standing
        ? settingWords(machine, reading.standing)
        : situation
          ? settingWords(machine, situation.healthy)
          : "";
      return [
        "Unplug the machine, or switch off and lock out its circuit.",
        ...discharge,
        proved,
        ...(setting === "" ? [] : [`Set by hand: ${setting}. What heat moves stays as it is.`]),
        ...(reading.lifted.length === 0 ? [] : [`Take the lead off at ${reading.lifted.map(name).join(" and ")}.`]),
        `Meter on ohms from ${name(reading.a)} to ${name(reading.b)}.`,
        ...(reading.lifted.length === 0 ? [] : ["Put the lead back."]),
      ];
    }
    default: {
      const legs = new Set(machine.supply.legs.map(({ terminal }) => terminal));
      const outside = reading.of === "volts" && legs.has(reading.a) && legs.has(reading.b);
      if (outside)
        return [
          `At the outlet, machine unplugged: meter on volts from ${name(reading.a)} to ${name(reading.b)}. Insulated probes, one hand.`,
        ];
      const clip =
        reading.of === "volts"
          ? `Clip the meter, on volts, to ${name(reading.a)} and ${name(reading.b)}; no part of a hand stays inside.`
          : `Put the clamp around one lead of ${takenName(machine, reading)}; no part of a hand stays inside.`;
      return [
        "Try the meter on a live source.",
        "Unplug the machine and lock out its circuit.",
        ...discharge,
        proved,
        clip,
        `Plug in, bring it to ${situation?.words ?? "the same state"}, read from a step away.`,
        "Unplug before you touch the clips, and try the meter on the live source again.",
        "Every guard, lid and cut-out stays in the circuit as it is: if one of them stops the machine, that is an answer.",
      ];
    }
  }
}

/** Three standard deviations: further off is no longer tolerance. */
const agreesFrom = 0.01;

/** What a sound machine shows where this was observed, and whether that is what was read; undefined: it cannot be told. */
export function comparisonText(
  { observations }: BenchCase,
  { healthy }: Pick<Ranking, "healthy">,
  o: number,
): { readonly agrees: boolean | undefined; readonly expected: string } {
  const { predicted, fit } = healthy[o]!;
  const { reading } = observations[o]!;
  const least = reading.of === "symptom" || reading.of === "stands" ? 0.2 : agreesFrom;
  return { agrees: Number.isNaN(fit) ? undefined : fit >= least, expected: predictionText(reading, predicted) };
}
