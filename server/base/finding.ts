import type { Place } from "./place.ts";

/** How grave a finding is; the editor shows the first three as its own error, warning and information. */
export type Gravity = "error" | "warning" | "information" | "hint";

/** One position of one control, in words: `{ control: "TM", position: "timed 3" }`. */
export interface ShownPosition {
  readonly control: string;
  readonly position: string;
}

/** A state of the machine as a person is told it: only the controls that matter need be listed, in trade order. */
export interface ShownState {
  readonly positions: readonly ShownPosition[];
  /** Single changes from the resting state that lead there, e.g. `press START`, `turn TM to timed 3`. */
  readonly steps?: readonly string[];
}

/** Another place that belongs to a finding, with what is to be seen there. */
export interface RelatedPlace {
  readonly place: Place;
  readonly text: string;
}

/** A change of text that mends a finding. `safe` ones may be applied all at once without reading each. */
export interface Fix {
  readonly title: string;
  readonly safe: boolean;
  readonly edits: readonly { readonly place: Place; readonly text: string }[];
}

/**
 * What a check, the parser or the name resolver has to say. Every finding says what is wrong, why it matters and what
 * to do; one about electricity names a state that shows it and both places in the text.
 */
export interface Finding {
  /** Stable id in lower-case words joined by hyphens, e.g. `load-without-protector`; the name of its page. */
  readonly id: string;
  readonly gravity: Gravity;
  readonly place: Place;
  /** One sentence: what is wrong. */
  readonly what: string;
  /** One sentence: why it matters. Left out only for plain errors of writing. */
  readonly why?: string;
  /** One sentence: what to do. */
  readonly advice: string;
  readonly state?: ShownState;
  readonly related: readonly RelatedPlace[];
  readonly fixes?: readonly Fix[];
  /** The text is of no effect (greyed out by editors). */
  readonly unused?: boolean;
}

/** The finding with each of its places put elsewhere; undefined when one of them cannot be told. */
export function movedFinding(finding: Finding, move: (place: Place) => Place | undefined): Finding | undefined {
  const place = move(finding.place);
  if (!place) return undefined;
  const related: RelatedPlace[] = [];
  for (const one of finding.related) {
    const moved = move(one.place);
    if (!moved) return undefined;
    related.push({ ...one, place: moved });
  }
  if (!finding.fixes) return { ...finding, place, related };
  const fixes: Fix[] = [];
  for (const fix of finding.fixes) {
    const edits: Fix["edits"][number][] = [];
    for (const edit of fix.edits) {
      const moved = move(edit.place);
      if (!moved) return undefined;
      edits.push({ ...edit, place: moved });
    }
    fixes.push({ ...fix, edits });
  }
  return { ...finding, place, related, fixes };
}

/** The finding as one paragraph of plain text, as the command line and the Problems list print it. */
export function findingText(finding: Finding): string {
  const parts = [finding.what, finding.why, finding.advice].filter((part) => part !== undefined && part !== "");
  if (finding.state) parts.push(`A state that shows it: ${shownStateText(finding.state)}.`);
  return parts.join(" ");
}

/** `TM in timed 3, DOOR shut`, in the condition syntax of the language, so that it can be pasted back. */
export function shownStateText(state: ShownState): string {
  if (state.positions.length === 0) return "any state";
  return state.positions.map(({ control, position }) => `${control} ${position}`).join(", ");
}
