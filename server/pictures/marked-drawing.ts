/**
 * A drawing with what a rewire changes marked: by shape and letter first, so that it can be told without colours. Ends that are wired
 * elsewhere lie on a band, dashed where they were and whole where they are; parts stand in a frame with a sign.
 */
import type { PartMark, PathMarks } from "../proposals/changed-paths.ts";
import type { Drawing, DrawnSymbol } from "./drawing.ts";
import { drawingSvg } from "./drawing-svg.ts";
import { SYMBOL } from "./symbols.ts";
import { escapeText, px } from "./text.ts";

export const markedStyle = `
.camleaf-drawing .band{stroke-width:11;opacity:.45;color:var(--camleaf-mark,currentColor)}
.camleaf-drawing .before .band{stroke-dasharray:1 14;stroke-width:9}
.camleaf-drawing .framed{stroke-width:1.6;color:var(--camleaf-mark,currentColor)}
.camleaf-drawing .framed.gone{stroke-dasharray:3 4}
.camleaf-drawing .framed.works{stroke-dasharray:9 3 2 3}
.camleaf-drawing text.sign{font-size:15px;font-weight:700}`;

const signs: Readonly<Record<PartMark, string>> = { new: "+", gone: "\u2212", other: "\u2260", works: "~" };
const words: Readonly<Record<PartMark, string>> = {
  new: "is new",
  gone: "is gone",
  other: "is another part, or has another plate",
  works: "works otherwise",
};
/** Room around a symbol with its name and amount. */
const FRAME = { width: 76, above: 36, below: 33 };

export function markedDrawingSvg(drawing: Drawing, { parts, ends }: PathMarks, side: "before" | "after"): string {
  const marks: string[] = [];
  const seen = new Set<string>();
  for (const symbol of drawing.symbols) {
    const { piece, x, y, name } = symbol;
    for (const end of ["from", "to"] as const)
      if (ends.has(piece[end])) {
        const stub = stubOf(drawing, symbol, end);
        if (stub) marks.push(`<path class="band" d="M${px(stub.x1)} ${px(stub.y1)}L${px(stub.x2)} ${px(stub.y2)}"/>`);
      }
    const mark = parts.get(name);
    if (!mark || seen.has(name)) continue;
    seen.add(name);
    const { width, above, below } = FRAME;
    marks.push(
      `<rect class="framed ${mark}" x="${px(x - width / 2)}" y="${px(y - above)}" width="${width}" height="${above + below}" rx="4"><title>${escapeText(`${name} ${words[mark]}`)}</title></rect>`,
      `<text class="sign" x="${px(x + width / 2 + 8)}" y="${px(y - above + 11)}" text-anchor="middle">${signs[mark]}</text>`,
    );
  }
  const svg = drawingSvg(drawing, { styled: false });
  const body = svg.indexOf("\n") + 1;
  return `${svg.slice(0, body)}<g class="marks ${side}">${marks.join("")}</g>\n${svg.slice(body)}`;
}

/** The level wire between a symbol and the upright of the net at this end. */
function stubOf({ wires }: Drawing, { piece, x, y }: DrawnSymbol, end: "from" | "to") {
  const net = end === "from" ? piece.fromNet : piece.toNet;
  const at = x + (end === "from" ? -1 : 1) * (SYMBOL.width / 2);
  return wires.find((wire) => wire.net === net && wire.y1 === y && wire.y2 === y && (wire.x1 === at || wire.x2 === at));
}
