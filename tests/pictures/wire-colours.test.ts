/** Colours of wires stand out on every ground, and never stand alone. Contrast: WCAG 2.2, relative luminance and success criterion 1.4.11 (3 to 1). */
import { expect, test } from "vitest";
import { colours } from "../../grammar/colours.ts";
import { drawCircuit } from "../../server/pictures/drawing.ts";
import { drawingStyle, drawingSvg } from "../../server/pictures/drawing-svg.ts";
import { shades } from "../../server/pictures/shades.ts";
import { machineOf } from "../support/fixture.ts";
import { samples } from "./samples.ts";

const luminance = (hex: string) => {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const part = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r! + 0.7152 * g! + 0.0722 * b!;
};
const contrast = (a: string, b: string) => {
  const [light, dark] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return (light! + 0.05) / (dark! + 0.05);
};

/** Ground and ink of the editor's own light, dark and high contrast themes, and of a page in light and dark. */
const grounds = [
  { name: "light", paper: "#ffffff", ink: "#3b3b3b" },
  { name: "dark", paper: "#1f1f1f", ink: "#cccccc" },
  { name: "high contrast", paper: "#000000", ink: "#ffffff" },
  { name: "high contrast light", paper: "#ffffff", ink: "#292929" },
  { name: "page", paper: "#ffffff", ink: "#000000" },
  { name: "page in dark", paper: "#121212", ink: "#ffffff" },
];

test("the formula gives what the standard says of black on white", () => {
  expect(contrast("#000000", "#ffffff")).toBeCloseTo(21, 5);
  expect(contrast("#777777", "#ffffff")).toBeCloseTo(4.48, 2); // the well-known grey just short of 4.5
});

test.each(grounds)("$name: every colour's edge stands out from the ground", ({ paper, ink }) => {
  for (const { code } of colours) {
    // The casing is in the ink's colour; a core like the ground is then seen by its casing, one like the ink as one thick stroke.
    expect(contrast(ink, paper), code).toBeGreaterThanOrEqual(3);
    const seen = Math.max(contrast(shades[code]!, ink), contrast(shades[code]!, paper));
    expect(seen, `${code} in its casing`).toBeGreaterThanOrEqual(3);
  }
});

test("every colour of the language has a rule of its own", () => {
  for (const { code } of colours) expect(drawingStyle).toContain(`path.${code}{stroke:${shades[code]}}`);
});

test("each stroke has its letters below it, lies on a wire of its net and off the symbols", () => {
  for (const machine of samples) {
    const { sleeves, labels, wires, symbols } = drawCircuit(machine);
    for (const { net, x1, x2, y, code } of sleeves) {
      const letters = labels.find(
        (label) => label.role === "colour" && label.y === y + 13 && Math.abs(label.x - (x1 + x2) / 2) < 40,
      );
      expect(letters?.text.split(", ")).toContain(code);
      const on = wires.filter((w) => w.net === net && w.y1 === y && w.y2 === y);
      expect(on.some((w) => Math.min(w.x1, w.x2) <= x1 && x2 <= Math.max(w.x1, w.x2))).toBe(true);
      for (const symbol of symbols) if (symbol.y === y) expect(x2 <= symbol.x - 20 || x1 >= symbol.x + 20).toBe(true);
    }
  }
});

test("switched off, the letters stay; colours that are none of the language's are letters alone", () => {
  const machine = machineOf(
    `machine "bench"\nsupply single 120 V 60 Hz\nheater HT 100 W 120 V\nwire L to HT GN/YE\nwire HT.2 to N WH\n`,
  );
  const [with_, without] = [drawCircuit(machine), drawCircuit(machine, undefined, { wireColours: false })];
  expect(with_.sleeves.map(({ code }) => code)).toEqual(["GN/YE", "WH"]);
  expect(without.sleeves).toEqual([]);
  expect(without.labels).toEqual(with_.labels);
  expect(drawingSvg(with_)).toContain('class="sleeve tracer YE"');
});
