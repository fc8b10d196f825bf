/** The mark of a finding beside the name of a part in the drawing: told apart by shape and letter, not by colour alone. */
import { svgElement } from "./dom.ts";

/** Names stand centred on this line above the middle of their symbol. */
const nameLine = -26;

export function findingMark(gravity: string, name: string): SVGElement {
  const mark = svgElement("g", {
    class: `mark ${gravity}`,
    transform: `translate(${-widthOf(name) / 2 - 10} ${nameLine})`,
  });
  const shape =
    gravity === "warning"
      ? svgElement("path", { d: "M0 -7L7 5.5H-7Z" })
      : gravity === "error"
        ? svgElement("rect", { x: -6, y: -6, width: 12, height: 12, transform: "rotate(45) scale(.9)" })
        : svgElement("circle", { r: 6 });
  const letter = gravity === "error" || gravity === "warning" ? "!" : "i";
  mark.append(shape, svgElement("text", { y: 3.6, "text-anchor": "middle" }, letter));
  return mark;
}

let pen: CanvasRenderingContext2D | null | undefined;

/** Width of a name as the drawing letters it. */
function widthOf(name: string): number {
  pen ??= document.createElement("canvas").getContext("2d");
  if (!pen) return name.length * 7;
  pen.font = `600 11px ${getComputedStyle(document.body).fontFamily}`;
  return pen.measureText(name).width;
}
