/** Findings on the drawing: a shape for the gravity with the finding's number in it, so that neither needs colour. */
import type { Gravity } from "../base/finding.ts";
import { lines } from "./sheet-notes.ts";
import { escapeText, px, textWidth } from "./text.ts";

export interface FindingMark {
  /** The same in every list of the findings. */
  readonly number: number;
  readonly gravity: Gravity;
  readonly what: string;
}

export interface DrawnMark extends FindingMark {
  /** Middle. */
  readonly x: number;
  readonly y: number;
}

/** Room that one mark takes, across and down. */
export const MARK = { width: 22, height: 18 } as const;
/** No more beside one name; the rest is told by how many there are. */
export const mostMarks = 3;

export const markStyle = `
.camleaf-drawing .mark{color:var(--camleaf-information,var(--vscode-editorInfo-foreground,currentColor))}
.camleaf-drawing .mark.warning{color:var(--camleaf-warning,var(--vscode-editorWarning-foreground,currentColor))}
.camleaf-drawing .mark.error{color:var(--camleaf-error,var(--vscode-editorError-foreground,currentColor))}
.camleaf-drawing .mark path,.camleaf-drawing .mark circle{stroke-width:1.8;fill:var(--camleaf-paper,var(--vscode-editor-background,Canvas))}
.camleaf-drawing .mark text{fill:var(--camleaf-ink,var(--vscode-editor-foreground,CanvasText));font-size:9px;font-weight:700}
.camleaf-drawing .mark text.small{font-size:7px}`;

export function markMarkup({ number, gravity, what, x, y }: DrawnMark): string {
  const [shape, base] =
    gravity === "error"
      ? [`<path d="M0 -9L9.5 0L0 9L-9.5 0Z"/>`, 3.2]
      : gravity === "warning"
        ? [`<path d="M0 -10L10 7.5H-10Z"/>`, 5.4]
        : [`<circle r="8"/>`, 3.2];
  // Two digits are wider than a triangle is at their height.
  const size = number > (gravity === "warning" ? 9 : 99) ? ' class="small"' : "";
  return `<g class="mark ${gravity}" transform="translate(${px(x)} ${px(y)})"><title>${escapeText(`${number}: ${what}`)}</title>${shape}<text y="${base}" text-anchor="middle"${size}>${number}</text></g>`;
}

/** The shapes' meaning in one line. */
export const marksKey =
  "Marked: a diamond is an error, a triangle a warning, a circle something to know. The number is the finding's.";

export interface LegendLine {
  readonly text: string;
  readonly mark?: FindingMark;
}

/** Each marked finding once, in the order of their numbers, broken into lines. */
export function legend(marks: Iterable<readonly FindingMark[]>, letters: number): LegendLine[] {
  const all = new Map<number, FindingMark>();
  for (const some of marks) for (const mark of some) all.set(mark.number, mark);
  return [...all.values()]
    .sort((a, b) => a.number - b.number)
    .flatMap((mark) => lines(mark.what, letters).map((text, i): LegendLine => (i === 0 ? { text, mark } : { text })));
}

/** Width in px of the marks beside a name, with what says how many more there are. */
export function marksWidth(marks: readonly FindingMark[]): number {
  if (marks.length === 0) return 0;
  return (
    Math.min(marks.length, mostMarks) * MARK.width + (moreText(marks) === "" ? 0 : textWidth(moreText(marks)) + 3) + 3
  );
}

export function moreText(marks: readonly FindingMark[]): string {
  return marks.length > mostMarks ? `+${marks.length - mostMarks}` : "";
}
