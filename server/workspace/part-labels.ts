/**
 * Machines without what their parts are labelled as, and findings with the labels put back. Nearly every label stands in sentences and
 * decides nothing, so a keystroke in one need not ask anything again.
 */
import type { Finding } from "../base/finding.ts";
import { LABEL_DECIDES } from "../checks/hazards.ts";
import type { Machine } from "../machine/index.ts";

/** A machine whose parts have marks for labels that decide nothing: equal ones for equal labels, counted from 0. */
export interface Unlabelled {
  readonly machine: Machine;
  /** By mark. */
  readonly labels: readonly string[];
}

const opening = "\ue000";
const closing = "\ue001";
const marks = new RegExp(`${opening}(\\d+)${closing}`, "g");

/** The machine itself when its text has letters that the marks are made of. */
export function withoutLabels(machine: Machine): Unlabelled {
  if (machine.parts.some(({ name, label, plate }) => [name, label, ...plate].some((text) => text?.includes(opening))))
    return { machine, labels: [] };
  const numbers = new Map<string, number>();
  const parts = machine.parts.map((part) => {
    const { kind, label } = part;
    // Checks ask whether there is one.
    if (label === undefined || label === "" || LABEL_DECIDES.has(kind)) return part;
    const number = numbers.get(label) ?? numbers.size;
    numbers.set(label, number);
    return { ...part, label: `${opening}${number}${closing}` };
  });
  return { machine: { ...machine, parts }, labels: [...numbers.keys()] };
}

/** The findings of an unlabelled machine as those of one with these labels. */
export function withLabels(findings: readonly Finding[], labels: readonly string[]): readonly Finding[] {
  if (labels.length === 0) return findings;
  const put = (text: string): string =>
    text.includes(opening) ? text.replace(marks, (_, number) => labels[Number(number)]!) : text;
  return findings.map((finding) => labelledFinding(finding, put));
}

/** True when some text of a finding has a mark: most speak of no labelled part and stay as they are. */
function isMarked({ what, why, advice, related, state, fixes }: Finding): boolean {
  const has = (text: string | undefined): boolean => text?.includes(opening) === true;
  return (
    has(what) ||
    has(why) ||
    has(advice) ||
    related.some(({ text }) => has(text)) ||
    (state !== undefined &&
      (state.positions.some(({ control, position }) => has(control) || has(position)) ||
        state.steps?.some(has) === true)) ||
    fixes?.some(({ title, edits }) => has(title) || edits.some(({ text }) => has(text))) === true
  );
}

function labelledFinding(finding: Finding, put: (text: string) => string): Finding {
  if (!isMarked(finding)) return finding;
  const { why, state, fixes } = finding;
  const copy: { -readonly [Key in keyof Finding]: Finding[Key] } = {
    ...finding,
    what: put(finding.what),
    advice: put(finding.advice),
    related: finding.related.map(({ place, text }) => ({ place, text: put(text) })),
  };
  if (why !== undefined) copy.why = put(why);
  if (state)
    copy.state = {
      positions: state.positions.map(({ control, position }) => ({ control: put(control), position: put(position) })),
      ...(state.steps && { steps: state.steps.map(put) }),
    };
  if (fixes)
    copy.fixes = fixes.map(({ title, edits, ...fix }) => ({
      ...fix,
      title: put(title),
      edits: edits.map(({ place, text }) => ({ place, text: put(text) })),
    }));
  return copy;
}
