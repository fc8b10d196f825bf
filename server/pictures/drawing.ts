/** The circuit drawing as plain data: symbols, straight wires, dots and labels with their places in px. */
import { buildCircuit } from "../circuit/build.ts";
import type { Circuit } from "../circuit/circuit.ts";
import { type Machine, restState } from "../machine/index.ts";
import { flowOf, LEAST_AMPS, type LiveState, lookOf } from "./drawn-values.ts";
import {
  type DrawnMark,
  type FindingMark,
  legend,
  MARK,
  marksKey,
  marksWidth,
  moreText,
  mostMarks,
} from "./finding-marks.ts";
import { ladder } from "./ladder.ts";
import { type NetworkGraph, networkGraph, type Piece } from "./network-graph.ts";
import { pieceWords } from "./piece-words.ts";
import { type GoesOn, isBig, type Section, sectionsOf, sheetOf } from "./sections.ts";
import { alsoJoined, lines, numberList, sectionsNote, stateNote, supplyText } from "./sheet-notes.ts";
import { type ContactLook, SYMBOL, type SymbolKind, type SymbolSet } from "./symbols.ts";
import { textWidth } from "./text.ts";
import type { DrawnSleeve } from "./wire-colours.ts";

export type { LiveState } from "./drawn-values.ts";
export type { Section } from "./sections.ts";

/** How heavy a line is: carries current, has volts but no current, neither; `plain` without a state. */
export type Weight = "plain" | "carries" | "hot" | "dead";

export interface DrawnSymbol {
  readonly piece: Piece;
  readonly name: string;
  readonly kind: SymbolKind;
  readonly contact?: ContactLook;
  /** Middle; the box is `SYMBOL.width` by `SYMBOL.height` around it. */
  readonly x: number;
  readonly y: number;
  readonly weight: Weight;
}

export interface DrawnWire {
  readonly net: number;
  readonly rail: boolean;
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
  readonly weight: Weight;
}

export interface DrawnLabel {
  readonly text: string;
  /** Middle of the base line. */
  readonly x: number;
  readonly y: number;
  readonly role: "name" | "terminal" | "colour" | "amount" | "rail" | "title" | "note" | "head" | "goes-on";
  readonly anchor: "start" | "middle";
  /** Of `goes-on`: the sections in which the net goes on. */
  readonly sections?: readonly number[];
}

/** The head of an upright that goes on in another section: current comes `in` there, goes `out`, or may do both. */
export interface DrawnArrow {
  readonly net: number;
  readonly x: number;
  readonly y: number;
  readonly way: "in" | "out" | "both";
}

export interface Drawing {
  readonly width: number;
  readonly height: number;
  readonly live: boolean;
  readonly title: string;
  readonly symbols: readonly DrawnSymbol[];
  readonly wires: readonly DrawnWire[];
  /** Where more than two branches of a net meet. */
  readonly dots: readonly { readonly net: number; readonly x: number; readonly y: number }[];
  readonly arrows: readonly DrawnArrow[];
  readonly sleeves: readonly DrawnSleeve[];
  readonly marks: readonly DrawnMark[];
  readonly labels: readonly DrawnLabel[];
  readonly symbolSet: SymbolSet;
  /** Number of the section drawn, from 1; undefined for the whole machine. */
  readonly section?: number;
}

export interface DrawingOptions {
  /** Draws this section alone, numbered from 1 (`drawnSections`); left out or unknown: the whole machine. */
  readonly section?: number;
  /** IEC 60617 when left out. */
  readonly symbols?: SymbolSet;
  /** Coloured strokes beside the letters of wire colours; `false` leaves the letters alone. */
  readonly wireColours?: boolean;
  /** Findings by the name of what they are about, as the drawing names it. */
  readonly marks?: ReadonlyMap<string, readonly FindingMark[]>;
  /** `false`: the findings' words stand elsewhere beside the drawing. */
  readonly legend?: boolean;
}

const ROW = 84;
const TOP = 96;
const MARGIN = 24;
const RAIL_HEAD = 26;
/** Below this nothing is called live: less than a tester shows. */
const LEAST_VOLTS = 1;

/** The sections that a machine's drawing folds into, and whether one sheet of it is too high to be read at a glance. */
export function drawnSections(machine: Machine): { readonly big: boolean; readonly sections: readonly Section[] } {
  const graph = networkGraph(buildCircuit(machine));
  return { big: isBig(graph), sections: sectionsOf(machine, graph) };
}

/** @param live the state to show; without it every contact is drawn at rest */
export function drawCircuit(machine: Machine, live?: LiveState, options: DrawingOptions = {}): Drawing {
  const circuit = buildCircuit(machine);
  const whole = networkGraph(circuit);
  const sections = options.section === undefined ? [] : sectionsOf(machine, whole);
  const section = sections.find(({ number }) => number === options.section);
  const { graph, goesOn } = section
    ? sheetOf(section, sections, whole, (net) => pointName(machine, circuit, whole, net))
    : { graph: whole, goesOn: new Map<number, GoesOn>() };
  const sheet = ladder(graph);
  const top = section ? TOP + 14 : TOP;
  const state = live?.state ?? restState(machine);
  const rest = restState(machine);
  const symbols: DrawnSymbol[] = [];
  const wires: DrawnWire[] = [];
  const labels: DrawnLabel[] = [];
  const dots: { net: number; x: number; y: number }[] = [];
  const arrows: DrawnArrow[] = [];
  const sleeves: DrawnSleeve[] = [];
  const drawnMarks: DrawnMark[] = [];

  const marked = options.marks ?? new Map<string, readonly FindingMark[]>();
  const facts = pieceWords(machine, circuit, graph, sheet.pieces, live, marked);

  // -------- channels and slots from left to right
  const slotWidth: number[] = Array.from({ length: sheet.channels }, () => 0);
  const lettered = (colours: readonly string[]) => colours.join(", ");
  for (const { placed, name, from, to, fromColours, toColours, amount, marks } of facts) {
    const side = Math.max(...[from, to, lettered(fromColours), lettered(toColours)].map(textWidth));
    const head = textWidth(name) * 1.05 + marksWidth(marks) + 12;
    const width = Math.max(SYMBOL.width + 2 * (side + 12), head, textWidth(amount) + 12, 104);
    slotWidth[placed.slot] = Math.max(slotWidth[placed.slot]!, width);
  }
  const headWidth = (net: number) => {
    const on = goesOn.get(net);
    const name = textWidth(graph.rails.get(net)!.name);
    return on ? Math.max(name * 1.1, textWidth(goesOnText(on))) : name * 1.25;
  };
  const channelX: number[] = [];
  const spacing: number[] = [];
  let x = MARGIN;
  for (let channel = 0; channel < sheet.channels; channel++) {
    const heads = [...sheet.nets.values()].filter((net) => net.channel === channel && graph.rails.has(net.net));
    spacing.push(Math.max(18, ...heads.map(({ net }) => headWidth(net) + 10)));
    channelX.push(x);
    x += spacing[channel]! * sheet.tracks[channel]!;
    if (channel < sheet.channels - 1) x += slotWidth[channel]!;
  }
  const slotX = (slot: number) => channelX[slot]! + spacing[slot]! * sheet.tracks[slot]!;
  const netX = (net: number) => {
    const { channel, track } = sheet.nets.get(net)!;
    return channelX[channel]! + spacing[channel]! * (track + 0.5);
  };
  const rowY = (row: number) => top + row * ROW;

  // -------- what flows
  const volts = (net: number) =>
    live ? Math.hypot(live.solution.joints.re[net] ?? 0, live.solution.joints.im[net] ?? 0) : 0;
  const weigh = (net: number, amps: number): Weight => {
    if (!live) return "plain";
    // Not told as a number: on the way of a short, or not solved. Never shown as dead.
    if (amps > LEAST_AMPS || Number.isNaN(amps)) return "carries";
    return (live.solution.fed[net] === 1 && volts(net) > LEAST_VOLTS) || Number.isNaN(volts(net)) ? "hot" : "dead";
  };
  const wire = (net: number, x1: number, y1: number, x2: number, y2: number, amps: number) => {
    const rail = whole.rails.has(net) && x1 === x2;
    if (x1 !== x2 || y1 !== y2) wires.push({ net, rail, x1, y1, x2, y2, weight: weigh(net, amps) });
  };

  // -------- pieces
  const meetings = new Map<number, { row: number; side: "left" | "right"; re: number; im: number }[]>();
  const meet = (net: number, row: number, side: "left" | "right", re: number, im: number) =>
    meetings.set(net, [...(meetings.get(net) ?? []), { row, side, re, im }]);
  for (const { placed, name, from, to, fromColours, toColours, amount, marks } of facts) {
    const { piece, row, slot, loop } = placed;
    const left = slotX(slot);
    const middle = Math.round(left + slotWidth[slot]! / 2);
    const y = rowY(row);
    const half = SYMBOL.width / 2;
    const flow = flowOf(machine, piece, live);
    const amps = Math.hypot(flow.re, flow.im);
    const heavier = weigh(piece.fromNet, amps) === "dead" ? weigh(piece.toNet, amps) : weigh(piece.fromNet, amps);
    symbols.push({ piece, name, ...lookOf(machine, piece, state, rest), x: middle, y, weight: heavier });
    wire(piece.fromNet, netX(piece.fromNet), y, middle - half, y, amps);
    meet(piece.fromNet, row, "right", flow.re, flow.im);
    if (loop) {
      const back = left + slotWidth[slot]! - 4;
      wire(piece.toNet, middle + half, y, back, y, amps);
      wire(piece.toNet, back, y, back, y + ROW, amps);
      wire(piece.toNet, back, y + ROW, netX(piece.toNet), y + ROW, amps);
      meet(piece.toNet, row + 1, "right", -flow.re, -flow.im);
    } else {
      wire(piece.toNet, middle + half, y, netX(piece.toNet), y, amps);
      meet(piece.toNet, row, "left", -flow.re, -flow.im);
    }
    const label = (text: string, at: number, base: number, role: DrawnLabel["role"]) => {
      if (text !== "") labels.push({ text, x: at, y: base, role, anchor: "middle" });
    };
    // Marks stand before the name, both together over the middle.
    const before = marksWidth(marks);
    label(name, middle + before / 2, y - 22, "name");
    const first = middle - textWidth(name) * 0.525 - before / 2;
    marks
      .slice(0, mostMarks)
      .forEach((mark, i) => void drawnMarks.push({ ...mark, x: first + (i + 0.5) * MARK.width - 2, y: y - 26 }));
    const more = moreText(marks);
    label(more, first + mostMarks * MARK.width + textWidth(more) / 2 - 2, y - 22, "terminal");
    label(amount, middle, y + 27, "amount");
    const stub = half + 6;
    label(from, middle - stub - textWidth(from) / 2, y - 7, "terminal");
    label(to, middle + stub + textWidth(to) / 2, y - 7, "terminal");
    for (const [colours, net, way] of [
      [fromColours, piece.fromNet, -1],
      [toColours, piece.toNet, 1],
    ] as const) {
      const width = textWidth(lettered(colours));
      label(lettered(colours), middle + way * (stub + width / 2), y + 13, "colour");
      if (options.wireColours === false) continue;
      const long = (width + 6) / colours.length;
      colours.forEach((code, i) => {
        const [near, far] = [stub - 1 + i * long, stub - 1 + (i + 1) * long].map((at) => middle + way * at);
        sleeves.push({ net, x1: Math.min(near!, far!), x2: Math.max(near!, far!), y, code });
      });
    }
  }

  // -------- uprights and dots
  for (const { net, firstRow } of sheet.nets.values()) {
    const at = netX(net);
    const head = graph.rails.get(net);
    const on = goesOn.get(net);
    const rows = [...new Set(meetings.get(net)!.map(({ row }) => row))].sort((a, b) => a - b);
    const below = (row: number) => {
      const under = meetings.get(net)!.filter((one) => one.row > row);
      return Math.hypot(
        under.reduce((sum, { re }) => sum + re, 0),
        under.reduce((sum, { im }) => sum + im, 0),
      );
    };
    if (head) {
      const upper = rowY(firstRow) - RAIL_HEAD;
      wire(net, at, upper, at, rowY(firstRow), below(-1));
      if (on) {
        const sections = [...on.from, ...on.to];
        const way = on.to.length === 0 ? "in" : on.from.length === 0 ? "out" : "both";
        arrows.push({ net, x: at, y: upper, way });
        labels.push({ text: head.name, x: at, y: upper - 19, role: "head", anchor: "middle" });
        labels.push({ text: goesOnText(on), x: at, y: upper - 7, role: "goes-on", anchor: "middle", sections });
      } else labels.push({ text: head.name, x: at, y: upper - 5, role: "rail", anchor: "middle" });
    }
    rows.forEach((row, i) => {
      const next = rows[i + 1];
      if (next !== undefined) wire(net, at, rowY(row), at, rowY(next), below(row));
      const branches =
        meetings.get(net)!.filter((one) => one.row === row).length +
        (i > 0 || head ? 1 : 0) +
        (next !== undefined ? 1 : 0);
      if (branches > 2) dots.push({ net, x: at, y: rowY(row) });
    });
  }

  // -------- heading, and what has no piece on the sheet
  const title = section ? `${machine.label}, ${section.number} of ${sections.length}: ${section.title}` : machine.label;
  labels.push({ text: title, x: MARGIN, y: 24, role: "title", anchor: "start" });
  labels.push({ text: supplyText(machine), x: MARGIN, y: 42, role: "note", anchor: "start" });
  let y = rowY(Math.max(1, sheet.rows)) - 24;
  // As wide as the drawing; a narrow one has room for a sentence all the same.
  const letters = Math.max(64, Math.floor((x - MARGIN) / 6.9) - 4);
  const notes = [
    ...alsoJoined(machine, circuit.jointOf, whole)
      // Each once: on the sheet where its net is drawn first, those of no drawn net on the first sheet.
      .filter(({ net }) => !section || sheetNumber(sections, net) === section.number)
      .map(({ text }) => text),
    ...(section ? [sectionsNote(sections)] : []),
    stateNote(machine, live),
  ].flatMap((text) => lines(text, letters));
  for (const text of notes) {
    labels.push({ text, x: MARGIN, y, role: "note", anchor: "start" });
    y += 16;
  }
  const told = facts.map(({ marks }) => marks).filter(({ length }) => length > 0);
  for (const text of told.length > 0 ? lines(marksKey, letters) : []) {
    labels.push({ text, x: MARGIN, y, role: "note", anchor: "start" });
    y += 16;
  }
  for (const { text, mark } of told.length > 0 && options.legend !== false ? legend(told, letters) : []) {
    y += mark ? 5 : 0;
    if (mark) drawnMarks.push({ ...mark, x: MARGIN + 10, y: y - 4 });
    labels.push({ text, x: MARGIN + 28, y, role: "note", anchor: "start" });
    y += 16;
  }
  const texts = labels
    .filter(({ anchor }) => anchor === "start")
    .map(({ text, x: from, role }) => from + textWidth(text) * (role === "title" ? 1.35 : 1));
  return {
    width: Math.ceil(Math.max(x, ...texts) + MARGIN),
    height: y + MARGIN,
    live: live !== undefined,
    title,
    symbols,
    wires,
    dots,
    arrows,
    sleeves,
    marks: drawnMarks,
    labels,
    symbolSet: options.symbols ?? "iec",
    ...(section ? { section: section.number } : {}),
  };
}

/** The first section that draws the net; 1 when none does. */
function sheetNumber(sections: readonly Section[], net: number): number {
  const drawn = sections.find(({ pieces }) => pieces.some(({ fromNet, toNet }) => fromNet === net || toNet === net));
  return drawn?.number ?? 1;
}

function goesOnText({ from, to }: GoesOn): string {
  return [from.length > 0 ? `from ${numberList(from)}` : "", to.length > 0 ? `to ${numberList(to)}` : ""]
    .filter((text) => text !== "")
    .join(", ");
}

/** What a net is called where it leaves a sheet: the splice in it, else its first point at a contact, else at a load. */
function pointName(machine: Machine, { jointOf }: Circuit, { pieces }: NetworkGraph, net: number): string {
  const splice = machine.terminals.find(
    ({ id, part }) => jointOf[id] === net && machine.parts[part]?.kind === "splice",
  );
  const ends = (of: (piece: Piece) => boolean) =>
    pieces.flatMap((piece) => (of(piece) ? [piece.from, piece.to] : [])).filter((id) => jointOf[id] === net);
  const contacts = ends(({ what }) => what.of === "contact");
  const point = Math.min(...(contacts.length > 0 ? contacts : ends(() => true)));
  return splice?.fullName ?? machine.terminals[point]!.fullName;
}
