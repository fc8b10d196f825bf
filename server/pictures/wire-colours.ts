/**
 * Wire colours as strokes at the ends of pieces: the colour in a casing of the ink's own colour, so that white on white and black on
 * black stand out as the ink does (WCAG 2.2, 1.4.11: 3 to 1), whatever the ground. The letters say the same without colour.
 */
import { shades } from "./shades.ts";
import { px } from "./text.ts";

/** A stroke along a level wire. */
export interface DrawnSleeve {
  readonly net: number;
  readonly x1: number;
  readonly x2: number;
  readonly y: number;
  /** `GN/YE`: a body and its tracer. */
  readonly code: string;
}

const known = (letters: string | undefined): letters is string =>
  letters !== undefined && shades[letters] !== undefined;

export const wireColourStyle = [
  ".camleaf-drawing path.casing{stroke-width:6.4;stroke-linecap:butt}",
  ".camleaf-drawing path.sleeve{stroke-width:4;stroke-linecap:butt}",
  ".camleaf-drawing path.tracer{stroke-dasharray:4 4}",
  ...Object.entries(shades).map(([code, shade]) => `.camleaf-drawing path.${code}{stroke:${shade}}`),
].join("\n");

/** Nothing for letters that are no colour. */
export function sleeveMarkup({ x1, x2, y, code }: DrawnSleeve): string {
  const [body, tracer] = code.split("/");
  if (!known(body)) return "";
  const along = (from: number, to: number) => `d="M${px(from)} ${px(y)}H${px(to)}"`;
  return [
    `<path class="casing" ${along(x1, x2)}/>`,
    `<path class="sleeve ${body}" ${along(x1 + 1.2, x2 - 1.2)}/>`,
    known(tracer) ? `<path class="sleeve tracer ${tracer}" ${along(x1 + 1.2, x2 - 1.2)}/>` : "",
  ].join("");
}
