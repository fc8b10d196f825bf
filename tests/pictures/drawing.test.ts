/** What every drawing must hold, whatever the circuit: geometry checked on the finished sheet, not on how it was made. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { buildCircuit } from "../../server/circuit/build.ts";
import { drawnThings, marksOf, numberedFindings } from "../../server/editor/drawn-things.ts";
import type { Machine } from "../../server/machine/machine.ts";
import { nodePlatform } from "../../server/node/platform.ts";
import { type Drawing, drawCircuit, drawnSections } from "../../server/pictures/drawing.ts";
import { drawingSvg } from "../../server/pictures/drawing-svg.ts";
import { MARK } from "../../server/pictures/finding-marks.ts";
// from "../../server/pictures/drawing-svg.ts";
import { SYMBOL } from "../../server/pictures/symbols.ts";
import { textWidth } from "../../server/pictures/text.ts";
import { Service } from "../../server/service.ts";
import { generatedMachine } from "../bench/generated-machine.ts";
import { drawNetwork, networkSketches } from "../circuit/random-network.ts";
import { engineOf } from "../states/run.ts";
import { machineOf } from "../support/fixture.ts";
import { MEDIUM, randomMachines } from "../support/random-machine.ts";
import { samples } from "./samples.ts";

interface Box {
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}
/** Inner overlap only: touching edges are no overlap. */
const overlap = (a: Box, b: Box) =>
  a.left < b.right - 0.01 && b.left < a.right - 0.01 && a.top < b.bottom - 0.01 && b.top < a.bottom - 0.01;

const allPieces = (machine: Machine): string[] => [
  ...machine.contacts.map(({ id }) => JSON.stringify({ of: "contact", contact: id })),
  ...machine.loads.map(({ id }) => JSON.stringify({ of: "load", load: id })),
  ...machine.transformers.flatMap((_, transformer) =>
    ["primary", "secondary"].map((side) => JSON.stringify({ of: "transformer", transformer, side })),
  ),
];
const drawnPieces = ({ symbols }: Drawing): string[] => symbols.map(({ piece: { what } }) => JSON.stringify(what));

/** Every fault of a sheet, in words. */
function faults(machine: Machine, drawing: Drawing): string[] {
  const { symbols, wires, labels, dots, arrows, marks } = drawing;
  const circuit = buildCircuit(machine);
  const found: string[] = [];
  const boxes = symbols.map(({ x, y, name }) => ({
    name,
    left: x - SYMBOL.width / 2,
    right: x + SYMBOL.width / 2,
    top: y - SYMBOL.height / 2,
    bottom: y + SYMBOL.height / 2,
  }));
  const texts = labels.map(({ text, x, y, anchor }) => ({
    name: `text ${text}`,
    left: anchor === "middle" ? x - textWidth(text) / 2 : x,
    right: anchor === "middle" ? x + textWidth(text) / 2 : x + textWidth(text),
    top: y - 9,
    bottom: y + 2,
  }));
  const shapes = marks.map(({ x, y, number }) => ({
    name: `mark ${number}`,
    left: x - MARK.width / 2,
    right: x + MARK.width / 2,
    top: y - MARK.height / 2,
    bottom: y + MARK.height / 2,
  }));
  const things = [...boxes, ...texts, ...shapes];
  for (const { net, x, y } of arrows)
    if (!wires.some((w) => w.net === net && w.x1 === x && w.y1 === y)) found.push("arrow on no wire of its net");
  things.forEach((a, i) => {
    if (a.left < 0 || a.top < 0 || a.right > drawing.width || a.bottom > drawing.height)
      found.push(`${a.name} off the sheet`);
    for (const b of things.slice(i + 1)) if (overlap(a, b)) found.push(`${a.name} over ${b.name}`);
  });
  for (const { x1, y1, x2, y2 } of wires) {
    if (x1 !== x2 && y1 !== y2) found.push("slanted wire");
    const line = { left: Math.min(x1, x2), right: Math.max(x1, x2), top: Math.min(y1, y2), bottom: Math.max(y1, y2) };
    // A line has no area: give it some across, none along.
    const thick =
      y1 === y2 ? { ...line, top: y1 - 0.1, bottom: y1 + 0.1 } : { ...line, left: x1 - 0.1, right: x1 + 0.1 };
    for (const box of things) if (overlap(thick, box)) found.push(`wire through ${box.name}`);
  }
  // Wires of two nets may cross, never touch at an end or lie on each other.
  const within = (at: number, a: number, b: number) => at >= Math.min(a, b) && at <= Math.max(a, b);
  for (const a of wires)
    for (const b of wires) {
      if (a.net === b.net) continue;
      for (const [x, y] of [
        [a.x1, a.y1],
        [a.x2, a.y2],
      ] as const)
        if (within(x, b.x1, b.x2) && within(y, b.y1, b.y2)) found.push(`nets ${a.net} and ${b.net} touch`);
    }
  // Every contact and load once, on a sheet of the whole; its two ends on wires of its own nets.
  if (drawing.section === undefined) expect(drawnPieces(drawing).sort()).toEqual(allPieces(machine).sort());
  const ends = wires.flatMap((w) => [`${w.net} ${w.x1} ${w.y1}`, `${w.net} ${w.x2} ${w.y2}`]);
  for (const { piece, x, y, name } of symbols)
    for (const [net, at] of [
      [circuit.jointOf[piece.from]!, x - SYMBOL.width / 2],
      [circuit.jointOf[piece.to]!, x + SYMBOL.width / 2],
    ] as const)
      if (ends.filter((end) => end === `${net} ${at} ${y}`).length !== 1) found.push(`${name}: end not joined once`);
  // The wires of a net hang together and close no ring: as many points as stretches and one.
  for (const net of new Set(wires.map((w) => w.net))) {
    const own = wires.filter((w) => w.net === net);
    const groups = new Map<string, string>();
    const root = (key: string): string => {
      const up = groups.get(key) ?? key;
      return up === key ? key : root(up);
    };
    for (const w of own) {
      const [a, b] = [root(`${w.x1} ${w.y1}`), root(`${w.x2} ${w.y2}`)];
      if (a === b) found.push(`net ${net} drawn twice somewhere`);
      groups.set(a, b);
      groups.set(b, b);
    }
    const points = new Set(own.flatMap((w) => [`${w.x1} ${w.y1}`, `${w.x2} ${w.y2}`]));
    if (new Set([...points].map(root)).size !== 1) found.push(`net ${net} is in pieces`);
    // A dot exactly where three or more stretches meet.
    for (const point of points) {
      const meeting = own.filter((w) => `${w.x1} ${w.y1}` === point || `${w.x2} ${w.y2}` === point).length;
      const marked = dots.filter((dot) => dot.net === net && `${dot.x} ${dot.y}` === point).length;
      if (marked !== (meeting > 2 ? 1 : 0)) found.push(`net ${net}: ${meeting} stretches meet, ${marked} dots`);
    }
  }
  return found;
}

/** Every fault of a machine's sections, each sheet and all together. */
function sectionFaults(machine: Machine): string[] {
  const circuit = buildCircuit(machine);
  const { sections } = drawnSections(machine);
  const sheets = sections.map(({ number }) => drawCircuit(machine, undefined, { section: number }));
  const found = sheets.flatMap((sheet, i) => faults(machine, sheet).map((fault) => `${sections[i]!.key}: ${fault}`));
  expect(sheets.flatMap(drawnPieces).sort()).toEqual(allPieces(machine).sort());
  const legs = new Set(circuit.legJoint);
  const netsOn = sheets.map(({ wires }) => new Set(wires.map(({ net }) => net)));
  sheets.forEach(({ arrows, labels }, i) => {
    for (const net of netsOn[i]!) {
      const others = netsOn.flatMap((nets, other) => (other !== i && nets.has(net) ? [other + 1] : []));
      const arrow = arrows.filter((one) => one.net === net);
      if (legs.has(net) || others.length === 0) {
        if (arrow.length > 0) found.push(`net ${net} goes on nowhere`);
        continue;
      }
      // Where a net goes on, its sheet says so once, with the numbers of all the others.
      if (arrow.length !== 1) found.push(`net ${net}: ${arrow.length} arrows`);
      const label = labels.find(({ role, x, y }) => role === "goes-on" && x === arrow[0]?.x && y === arrow[0].y - 7);
      if ([...(label?.sections ?? [])].sort().join() !== others.sort().join())
        found.push(`net ${net}: "${label?.text}" for ${others}`);
    }
  });
  return found;
}

describe.each(samples.map((machine) => [machine.label, machine] as const))("%s", (_, machine) => {
  test("is a clean sheet with every part once", () => {
    expect(faults(machine, drawCircuit(machine))).toEqual([]);
  });
  test("folds into clean sections, every part in one of them, with references both ways", () => {
    expect(sectionFaults(machine)).toEqual([]);
  });
  test("names every point that a wire goes to", () => {
    const { symbols, labels } = drawCircuit(machine);
    const ends = new Set(symbols.flatMap(({ piece }) => [piece.from, piece.to]));
    const text = labels.map((label) => label.text).join("\n");
    for (const { a, b } of machine.wires)
      for (const id of [a, b]) if (!ends.has(id)) expect(text).toContain(machine.terminals[id]!.fullName);
  });
});

test("random appliances", () => {
  fc.assert(
    fc.property(randomMachines(MEDIUM), (machine) => {
      expect(faults(machine, drawCircuit(machine))).toEqual([]);
      expect(sectionFaults(machine)).toEqual([]);
    }),
    { numRuns: 40 },
  );
});

test("a machine of fifty devices: no section is higher than a screen, and each says what it is", () => {
  const { text } = generatedMachine({ seed: 3, devices: 50 });
  const machine = machineOf(text);
  expect(sectionFaults(machine)).toEqual([]);
  const { big, sections } = drawnSections(machine);
  expect(big).toBe(true);
  for (const { number, title } of sections) {
    const { height, labels } = drawCircuit(machine, undefined, { section: number });
    expect(height).toBeLessThan(1300);
    expect(labels.some(({ role, text }) => role === "title" && text.endsWith(`: ${title}`))).toBe(true);
  }
});

test("the washer's sections by what they do", () => {
  const washer = samples.find(({ label }) => label === "Larkfield W7 top-loading washer")!;
  const names = Object.fromEntries(
    drawnSections(washer).sections.map(({ key, number }) => [
      key,
      drawCircuit(washer, undefined, { section: number })
        .symbols.map(({ name }) => name)
        .sort()
        .join(" "),
    ]),
  );
  expect(names).toEqual({
    feed: "LINE.1-2 TM.free TM.level WL.1-3",
    motor:
      "DM.8-5 DM.high DM.low DM.start LID.1-2 SC SPEED.1-2 SPEED.1-3 TM.agit TM.ra to P TM.ra to Q TM.rb to P TM.rb to Q TM.spin",
    valves: "CV HV PU TEMP.1-2 TEMP.1-3 TM.pump WL.1-2",
    timer: "TM.drive",
  });
});

test("any mesh at all, parts with both ends on one net too", () => {
  fc.assert(
    fc.property(networkSketches(6, 8, 8), (sketch) => {
      const machine = drawNetwork(sketch, () => 0, { shorts: true });
      const drawing = drawCircuit(machine);
      expect(faults(machine, drawing)).toEqual([]);
      expect(drawingSvg(drawCircuit(machine))).toBe(drawingSvg(drawing));
      expect(sectionFaults(machine)).toEqual([]);
    }),
    { numRuns: 100 },
  );
});

test("text of the file is never markup", () => {
  const svg = drawingSvg(
    drawCircuit(
      machineOf(
        `machine "<script>alert(1)</script> & \\"co\\""\nsupply single 120 V 60 Hz\nheater HT 100 W 120 V\nwire L to HT to N\n`,
      ),
    ),
  );
  expect(svg).not.toContain("<script");
  expect(svg).toContain("&lt;script&gt;");
});

test("findings are marked by shape and number, told below, and never as markup", async () => {
  const service = new Service(nodePlatform);
  service.put(
    "bench.camleaf",
    1,
    `machine "Bench"
supply 120/240 V 60 Hz breaker 30 A
thermostat CT opens 68 C closes 57 C rated 15 A 125 V
heater HT "<img src=x> coil" 5400 W 240 V
wire L1 to CT to HT to L2
`,
  );
  const view = (await service.analysed("bench.camleaf"))!;
  const of = view.machines[0]!;
  const marks = marksOf(drawnThings(view, of));
  const drawing = drawCircuit(of.machine, undefined, { marks });
  expect(faults(of.machine, drawing)).toEqual([]);
  // The coil has no protector and the thermostat no rating for 240 V: errors.
  for (const name of ["HT", "CT"]) expect(marks.get(name)?.some(({ gravity }) => gravity === "error")).toBe(true);
  const svg = drawingSvg(drawing);
  const numbers = numberedFindings(view, of.machine);
  for (const [, some] of marks)
    for (const { number, what } of some) {
      expect(numbers[number - 1]?.finding.what).toBe(what);
      expect(svg).toContain(`>${number}</text>`);
    }
  expect(svg).toMatch(/class="mark error"[^>]*><title>[^<]*has no thermal protector/);
  expect(svg).not.toContain("<img");
  // Said once below, besides at the parts themselves; left out where a list stands beside the drawing.
  const bare = drawCircuit(of.machine, undefined, { marks, legend: false });
  expect(drawing.marks.length - bare.marks.length).toBe(new Set(drawing.marks.map(({ number }) => number)).size);
});

test("more findings than fit beside a name are counted", () => {
  const machine = machineOf(`machine "m"\nsupply single 120 V 60 Hz\nheater HT 100 W 120 V\nwire L to HT to N\n`);
  const marks = new Map([
    ["HT", [1, 2, 3, 4, 55].map((number) => ({ number, gravity: "warning" as const, what: `the ${number}th` }))],
  ]);
  const drawing = drawCircuit(machine, undefined, { marks });
  expect(faults(machine, drawing)).toEqual([]);
  expect(drawing.labels.map(({ text }) => text)).toEqual(expect.arrayContaining(["+2", "the 55th"]));
});

test("live: the dryer's coil current is printed and drawn heavy on its whole way, the lamp's is not", () => {
  const dryer = samples.find(({ label }) => label === "Larkfield D5 electric dryer")!;
  const engine = engineOf(dryer);
  const coil = dryer.loads.find(({ name }) => name === "HT")!;
  const state = engine.witness(engine.when(coil.id, ["works"]))!;
  const live = drawCircuit(dryer, { state, solution: engine.solve(state) });
  expect(faults(dryer, live)).toEqual([]);
  const of = (name: string) => live.symbols.find((symbol) => symbol.name === name)!;
  for (const name of ["TM.heat", "CT", "HL", "HT", "DM.1-2"]) {
    expect(of(name).weight).toBe("carries");
    // 5400 W at 240 V: 22.5 A.
    expect(live.labels.some(({ text, x, y }) => text === "22.5 A" && x === of(name).x && y > of(name).y)).toBe(true);
  }
  expect(of("DL").weight).not.toBe("carries");
  expect(of("DOOR.1-3").contact).toMatchObject({ closed: false });
});

test("live: a transformer's primary carries by the ratio, and so does the switch that feeds it", () => {
  const machine = machineOf(`machine "bell"
supply single 120 V 60 Hz
switch S { positions off on; contact 1 to 2 in on rated 5 A 125 V }
transformer T1 40 VA { primary 1 to 2 120 V; secondary 3 to 4 24 V }
lamp LA 24 W 24 V
wire L to S to T1.1
wire T1.2 to N
wire T1.3 to LA to T1.4
`);
  const engine = engineOf(machine);
  const state = engine.witness(engine.when(0, ["works", "weak"]))!;
  const live = drawCircuit(machine, { state, solution: engine.solve(state) });
  expect(faults(machine, live)).toEqual([]);
  const amps = (name: string) => {
    const { x, y } = live.symbols.find((symbol) => symbol.name === name)!;
    return live.labels.find((label) => label.role === "amount" && label.x === x && label.y > y && label.y < y + 40)
      ?.text;
  };
  expect(amps("LA")).toMatch(/A$/);
  expect(amps("T1 primary")).toMatch(/A$/);
  expect(amps("T1 secondary")).toBe(amps("LA"));
  expect(amps("T1 primary")).toBe(amps(live.symbols.find(({ name }) => name.startsWith("S"))!.name));
  expect(live.wires.filter(({ rail }) => rail).every(({ weight }) => weight === "carries")).toBe(true);
});
