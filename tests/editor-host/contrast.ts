import type { Frame } from "playwright-core";

/**
 * The lowest contrast of any visible text of a page against what it stands on: relative luminance and contrast ratio as WCAG 2.2
 * defines them. Text in pictures counts by its fill.
 */
export async function lowestContrast(frame: Frame): Promise<{ readonly ratio: number; readonly text: string }> {
  return frame.evaluate(() => {
    type Colour = { readonly r: number; readonly g: number; readonly b: number; readonly a: number };
    const read = (text: string): Colour => {
      const [r = 0, g = 0, b = 0, a = 1] = (text.match(/[\d.]+/g) ?? []).map(Number);
      return text === "none" ? { r: 0, g: 0, b: 0, a: 0 } : { r, g, b, a };
    };
    /** `#1f1f1f`, as variables are written, in the form of computed colours. */
    const hex = (text: string): string => {
      const digits = text.trim().replace(/^#(.)(.)(.)$/, "#$1$1$2$2$3$3");
      if (!digits.startsWith("#")) return digits;
      return `rgb(${[1, 3, 5].map((at) => Number.parseInt(digits.slice(at, at + 2), 16)).join(", ")})`;
    };
    const over = (top: Colour, ground: Colour): Colour => ({
      r: top.r * top.a + ground.r * (1 - top.a),
      g: top.g * top.a + ground.g * (1 - top.a),
      b: top.b * top.a + ground.b * (1 - top.a),
      a: 1,
    });
    const light = ({ r, g, b }: Colour) => {
      const [x, y, z] = [r, g, b].map((value) => {
        const part = value / 255;
        return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
      });
      return 0.2126 * x! + 0.7152 * y! + 0.0722 * z!;
    };
    const groundOf = (element: Element | null): Colour => {
      if (!element) {
        const variable = (name: string) => getComputedStyle(document.documentElement).getPropertyValue(name);
        const pane = document.body.dataset.view === "controls" ? variable("--vscode-sideBar-background") : "";
        return read(hex(pane || variable("--vscode-editor-background")));
      }
      const own = read(getComputedStyle(element).backgroundColor);
      return own.a === 1 ? own : over(own, groundOf(element.parentElement));
    };
    let lowest = { ratio: Number.POSITIVE_INFINITY, text: "" };
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      const element = node.parentElement;
      if (!element || (node.textContent ?? "").trim() === "" || !element.checkVisibility()) continue;
      // Titles, styles and options are drawn by the system or not at all.
      if (element.closest("title, style, option, script")) continue;
      const style = getComputedStyle(element);
      const drawn = element.closest("svg");
      const ground = groundOf(drawn ?? element);
      const ink = read(drawn ? style.fill : style.color);
      const seen = over({ ...ink, a: ink.a * Number(style.opacity) }, ground);
      const [a, b] = [light(seen), light(ground)];
      const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
      if (ratio < lowest.ratio) lowest = { ratio, text: node.textContent ?? "" };
    }
    return lowest;
  });
}
