/** Both sets of symbols: each stays in its box and meets its wires, so that the laws of the sheet hold for both. */
import { expect, test } from "vitest";
import {
  type ContactLook,
  SYMBOL,
  type SymbolKind,
  type SymbolSet,
  symbolMarkup,
} from "../../server/pictures/symbols.ts";

const kinds: readonly SymbolKind[] = [
  "fuse",
  "heater",
  "motor",
  "winding",
  "coil",
  "valve",
  "lamp",
  "neon",
  "buzzer",
  "resistor",
  "capacitor",
  "ptc",
  "sensor",
  "diode",
  "box",
];
const contacts: ContactLook[] = [undefined, "thermal", "push", "breaker", "level"].flatMap((actuator) =>
  [true, false].flatMap((closed) =>
    [true, false].map((breaks) => ({ closed, breaks, ...(actuator ? { actuator: actuator as "push" } : {}) })),
  ),
);
const drawn = (set: SymbolSet) => [
  ...kinds.map((kind) => ({ name: `${set} ${kind}`, markup: symbolMarkup(kind, undefined, set) })),
  ...contacts.map((look) => ({
    name: `${set} contact ${JSON.stringify(look)}`,
    markup: symbolMarkup("contact", look, set),
  })),
];

/** The points that strokes go to, written as path data of SVG 1.1 (8.3); control points of curves are left out. */
function points(path: string): { x: number; y: number }[] {
  const found: { x: number; y: number }[] = [];
  let [x, y] = [0, 0];
  const takes: Readonly<Record<string, number>> = { M: 2, L: 2, H: 1, V: 1, A: 7, Q: 4, C: 6, S: 4, Z: 0 };
  for (const [, command, text] of path.matchAll(/([MLHVAQCSZ])([^MLHVAQCSZ]*)/gi)) {
    const numbers = [...text!.matchAll(/-?[\d.]+/g)].map(Number);
    const most = takes[command!.toUpperCase()]!;
    for (let at = 0; most > 0 && at < numbers.length; at += most) {
      const relative = command === command!.toLowerCase();
      const last = numbers.slice(at, at + most);
      const upper = command!.toUpperCase();
      const [dx, dy] = upper === "H" ? [last[0]!, undefined] : upper === "V" ? [undefined, last[0]!] : last.slice(-2);
      x = dx === undefined ? x : relative ? x + dx : dx;
      y = dy === undefined ? y : relative ? y + dy : dy;
      found.push({ x, y });
    }
  }
  return found;
}

test.each([...drawn("iec"), ...drawn("ieee")])("$name", ({ markup }) => {
  const strokes = [...markup.matchAll(/ d="([^"]*)"/g)].flatMap(([, path]) => points(path!));
  const circles = [...markup.matchAll(/<circle(?: class="\w+")?(?: cx="([-\d.]+)" cy="([-\d.]+)")? r="([\d.]+)"/g)];
  const round = circles.flatMap(([, x = "0", y = "0", r]) => [
    { x: Number(x) - Number(r), y: Number(y) - Number(r) },
    { x: Number(x) + Number(r), y: Number(y) + Number(r) },
  ]);
  for (const { x, y } of [...strokes, ...round]) {
    expect(Math.abs(x)).toBeLessThanOrEqual(SYMBOL.width / 2);
    expect(Math.abs(y)).toBeLessThanOrEqual(SYMBOL.height / 2);
  }
  for (const end of [-SYMBOL.width / 2, SYMBOL.width / 2])
    expect(strokes.filter(({ x, y }) => x === end && y === 0)).toHaveLength(1);
});

test("an open contact never looks like a closed one, in either set", () => {
  for (const set of ["iec", "ieee"] as const)
    for (const look of contacts)
      expect(symbolMarkup("contact", look, set)).not.toBe(
        symbolMarkup("contact", { ...look, closed: !look.closed }, set),
      );
});
