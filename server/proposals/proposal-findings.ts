/** What a proposal comes to, told at its own lines: edits that cannot be done, each danger at what causes it, and the verdict. */
import type { ProposalStatement } from "../../grammar/tree.ts";
import type { Finding, RelatedPlace } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import type { Machine } from "../machine/machine.ts";
import type { Applied } from "./apply.ts";
import { type EditNumber, editPlace } from "./causes.ts";
import type { Comparison } from "./compare.ts";
import { labelPlace } from "./label-place.ts";
import { spokenPlace } from "./spoken-place.ts";
import type { VerdictLine } from "./verdict.ts";

/** Lines that stand in the finding itself; the comparison has the rest. */
const mostLines = 3;

export function proposalFindings(
  base: Machine,
  statement: ProposalStatement,
  file: string,
  comparison: Comparison,
  /** The proposal done to the text as it is now: the comparison may be older. */
  applied: Applied,
): Finding[] {
  const { findings, difference, verdict } = comparison;
  if (!verdict || !difference) return [...findings];
  const head = labelPlace(statement, file);
  const grave = verdict.lines.filter(({ weight }) => weight !== "change");
  const first = grave[0];
  const outcome: Finding = {
    id: "proposal-outcome",
    gravity: first ? "warning" : "information",
    place: head,
    what: `${statement.label?.text ?? "This proposal"}: ${verdict.headline}`,
    why: whyText(grave, verdict.lines.length - grave.length),
    advice: first
      ? "Read the whole comparison before anything is wired, and take a lead that was put in for a test out again before the machine is used."
      : `${verdict.cautions[0]} ${verdict.cautions[1]}`,
    ...(first?.state ? { state: first.state } : {}),
    related: statement.edits
      .slice(0, 6)
      .map(
        (edit): RelatedPlace => ({ place: { file, from: edit.from, to: edit.to }, text: "an edit of this proposal" }),
      ),
  };
  return [outcome, ...dangerFindings(base, statement, file, comparison, applied, head)];
}

function whyText(grave: readonly VerdictLine[], changes: number): string {
  const shown = grave.slice(0, mostLines).map(({ text }) => text);
  const rest = grave.length - shown.length;
  if (rest > 0) shown.push(`${rest} more of this kind.`);
  if (changes > 0) shown.push(changes === 1 ? "One other thing changes." : `${changes} other things change.`);
  return shown.join(" ") || "Nothing that these checks look at changes.";
}

/**
 * Each danger at the edit that causes it; what several edits cause only together at the proposal's label. Dangers of the same edits are
 * told as one finding.
 */
function dangerFindings(
  base: Machine,
  statement: ProposalStatement,
  file: string,
  comparison: Comparison,
  applied: Applied,
  head: Place,
): Finding[] {
  const { causes, verdict } = comparison;
  const found = new Map<string, { readonly edits: readonly EditNumber[]; readonly lines: VerdictLine[] }>();
  for (const line of verdict?.lines ?? []) {
    if (line.weight !== "danger" || line.key === undefined) continue;
    // Too many edits to be left out one by one: told at the label, of all of them.
    for (const edits of causes?.get(line.key) ?? [[]]) {
      const name = JSON.stringify(edits);
      const known = found.get(name);
      if (known) known.lines.push(line);
      else found.set(name, { edits, lines: [line] });
    }
  }
  return [...found.values()].map(({ edits, lines }): Finding => {
    const [first] = lines as [VerdictLine, ...VerdictLine[]];
    const places = edits.map((edit) => editPlace(statement, file, edit));
    const together = edits.length !== 1;
    const bridges = lines.some(({ key }) => key!.startsWith("bridged "));
    const endangered = lines.flatMap((line): RelatedPlace[] => {
      const { place } = spokenPlace(line, base, comparison, applied);
      return place ? [{ place, text: line.text }] : [];
    });
    const others = lines.slice(1, 1 + mostLines).map(({ text }) => text);
    const rest = lines.length - 1 - others.length;
    return {
      id: bridges ? "proposal-bridges" : "proposal-danger",
      gravity: "warning",
      place: together ? head : places[0]!,
      what: first.text,
      why: [
        ...(edits.length > 1 ? [`${edits.length} edits cause it together; without any one of them it is gone.`] : []),
        ...(edits.length === 0 ? ["Which of its many edits causes it was not looked into."] : []),
        ...(bridges ? ["What it stops when something is wrong goes on; nobody is told."] : []),
        ...others,
        ...(rest > 0 ? [`${rest} more by the same cause.`] : []),
        ...(!together && !bridges && others.length === 0
          ? ["This edit brings it; without it the danger is gone."]
          : []),
      ].join(" "),
      advice: bridges
        ? "Only for a test at the bench, somebody beside it; take the lead out again before the machine is used."
        : "Leave it out, or change it until this is gone; wire nothing before.",
      ...(first.state ? { state: first.state } : {}),
      related: [
        ...(together ? places.map((place) => ({ place, text: "one of the edits that cause it" })) : []),
        ...endangered,
      ],
    };
  });
}
