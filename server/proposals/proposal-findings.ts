/** What a proposal comes to, told at its own lines: edits that cannot be done, bridges of protectors and guards, and the verdict. */
import type { ProposalEdit, ProposalStatement } from "../../grammar/tree.ts";
import type { Finding, RelatedPlace } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import type { Machine } from "../machine/machine.ts";
import type { Comparison } from "./compare.ts";
import type { BridgedContact } from "./difference.ts";
import type { VerdictLine } from "./verdict.ts";

/** Lines that stand in the finding itself; the comparison has the rest. */
const mostLines = 3;

export function proposalFindings(
  base: Machine,
  statement: ProposalStatement,
  file: string,
  comparison: Comparison,
): Finding[] {
  const { findings, difference, verdict } = comparison;
  if (!verdict || !difference) return [...findings];
  const head: Place = {
    file,
    from: statement.label?.from ?? statement.from,
    to: statement.label?.to ?? statement.from + 8,
  };
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
  const bridges = difference.bridged.flatMap((one) => bridgeFinding(base, one, statement, file, verdict.lines));
  return [outcome, ...bridges];
}

function whyText(grave: readonly VerdictLine[], changes: number): string {
  const shown = grave.slice(0, mostLines).map(({ text }) => text);
  const rest = grave.length - shown.length;
  if (rest > 0) shown.push(`${rest} more of this kind.`);
  if (changes > 0) shown.push(changes === 1 ? "One other thing changes." : `${changes} other things change.`);
  return shown.join(" ") || "Nothing that these checks look at changes.";
}

/** The lead that ties a protector or guard over, at its own line. */
function bridgeFinding(
  { contacts, parts, terminals }: Machine,
  { contact, role, guards }: BridgedContact,
  { edits }: ProposalStatement,
  file: string,
  lines: readonly VerdictLine[],
): Finding[] {
  if (role === "switching" && guards.length === 0) return [];
  // The name in the difference carries the part's label.
  const bridged = contacts.find(({ name }) => contact === name || contact.startsWith(`${name} (`));
  if (!bridged) return [];
  const part = parts[bridged.part]!.name;
  const ends = new Set([bridged.a, bridged.b].map((id) => terminals[id]!.name));
  const touches = (edit: ProposalEdit): boolean =>
    edit.edit === "wire" &&
    edit.wire.links.some((link) => link.part?.text === part && (!link.terminal || ends.has(link.terminal.text)));
  const own = edits.find(touches);
  const line = lines.find(({ text }) => text.includes(contact) && text.includes("bridged"));
  if (!own || !line) return [];
  return [
    {
      id: "proposal-bridges",
      gravity: "warning",
      place: { file, from: own.from, to: own.to },
      what: line.text,
      why: "What it stops when something is wrong goes on; nobody is told.",
      advice: "Only for a test at the bench, somebody beside it; take the lead out again before the machine is used.",
      ...(line.state ? { state: line.state } : {}),
      related: [{ place: bridged.namePlace, text: `${contact} is declared here` }],
    },
  ];
}
