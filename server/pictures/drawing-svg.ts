/** The drawing as SVG text. Colours come from the page: `currentColor` and variables with fallbacks, none of its own. */
import type { Drawing } from "./drawing.ts";
import { markMarkup, markStyle } from "./finding-marks.ts";
import { symbolMarkup } from "./symbols.ts";
import { escapeText, px } from "./text.ts";
import { sleeveMarkup, wireColourStyle } from "./wire-colours.ts";

/** Rules that a page may bring itself, where style elements inside pictures are not allowed. */
export const drawingStyle = `
.camleaf-drawing{color:var(--camleaf-ink,var(--vscode-editor-foreground,CanvasText));background:var(--camleaf-paper,var(--vscode-editor-background,Canvas));font:11px var(--vscode-font-family,sans-serif)}
.camleaf-drawing path,.camleaf-drawing rect,.camleaf-drawing circle{fill:none;stroke:currentColor;stroke-linecap:round;stroke-linejoin:round}
.camleaf-drawing .end{fill:var(--camleaf-paper,var(--vscode-editor-background,Canvas));stroke-width:1.3}
.camleaf-drawing .full{fill:currentColor}
.camleaf-drawing text{fill:currentColor;stroke:none}
.camleaf-drawing .plain{stroke-width:1.4}
.camleaf-drawing .rail.plain{stroke-width:2.2}
.camleaf-drawing .dead{stroke-width:1}
.camleaf-drawing .hot{stroke-width:2;color:var(--camleaf-hot,currentColor)}
.camleaf-drawing .carries{stroke-width:3.4;color:var(--camleaf-carries,currentColor)}
.camleaf-drawing g.carries{stroke-width:2.4}
.camleaf-drawing .name{font-weight:600}
.camleaf-drawing .terminal,.camleaf-drawing .colour{font-size:10px;opacity:.8}
.camleaf-drawing .colour{font-style:italic}
.camleaf-drawing .head{font-weight:600}
.camleaf-drawing .rail-name{font-size:13px;font-weight:700}
.camleaf-drawing .title{font-size:14px;font-weight:700}${markStyle}
${wireColourStyle}`;

/** A net that comes from another section has its tip downwards, one that goes on there upwards. */
const arrowMarkup = {
  in: (x: string, y: number) => `M${x} ${px(y + 7)}m-6 -7l6 7l6 -7`,
  out: (x: string, y: number) => `M${x} ${px(y)}m-6 7l6 -7l6 7`,
  both: (x: string, y: number) => `M${x} ${px(y)}m-6 7l6 -7l6 7m-12 5l6 7l6 -7`,
} as const;

/** `styled: false` leaves the style element out: the page brings `drawingStyle` itself. */
export function drawingSvg(drawing: Drawing, { styled = true } = {}): string {
  const { width, height, title, symbols, wires, dots, arrows, sleeves, marks, labels, symbolSet } = drawing;
  const parts = [
    `<svg xmlns="http://www.w3.org/2000/svg" class="camleaf-drawing" width="${px(width)}" height="${px(height)}" viewBox="0 0 ${px(width)} ${px(height)}" role="img" aria-label="${escapeText(`Circuit drawing of ${title}`)}">`,
    ...(styled ? [`<style>${drawingStyle}\n</style>`] : []),
  ];
  for (const { x1, y1, x2, y2, weight, rail } of wires)
    parts.push(`<path class="${rail ? "rail " : ""}${weight}" d="M${px(x1)} ${px(y1)}L${px(x2)} ${px(y2)}"/>`);
  for (const sleeve of sleeves) parts.push(sleeveMarkup(sleeve));
  for (const { x, y } of dots) parts.push(`<circle class="full" cx="${px(x)}" cy="${px(y)}" r="3"/>`);
  for (const { x, y, way } of arrows) parts.push(`<path class="plain" d="${arrowMarkup[way](px(x), y)}"/>`);
  for (const { name, kind, contact, x, y, weight } of symbols) {
    const told = contact ? `${name}, ${contact.closed ? "closed" : "open"}` : name;
    parts.push(
      `<g class="${weight}" transform="translate(${px(x)} ${px(y)})" data-name="${escapeText(name)}"><title>${escapeText(told)}</title>${symbolMarkup(kind, contact, symbolSet)}</g>`,
    );
  }
  for (const { text, x, y, role, anchor, sections } of labels)
    parts.push(
      `<text class="${role === "rail" ? "rail-name" : role}"${sections ? ` data-sections="${sections.join(" ")}"` : ""} x="${px(x)}" y="${px(y)}"${anchor === "middle" ? ' text-anchor="middle"' : ""}>${escapeText(text)}</text>`,
    );
  for (const mark of marks) parts.push(markMarkup(mark));
  parts.push("</svg>", "");
  return parts.join("\n");
}
