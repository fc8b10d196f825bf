/** The circuit drawing as plain data: symbols, straight wires, dots and labels with their places in px. */
import { formatQuantity } from "../../grammar/quantity.ts";
import { buildCircuit } from "../circuit/build.ts";
import type { Solution } from "../circuit/circuit.ts";
import {
  type Complex,
  type Condition,
  describeState,
  type Machine,
  type MachineState,
  restState,
} from "../machine/index.ts";
import { ladder } from "./ladder.ts";
import { networkGraph, type Piece } from "./network-graph.ts";
import { type ContactLook, SYMBOL, type SymbolKind } from "./symbols.ts";
import { textWidth } from "./text.ts";

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
  readonly role: "name" | "terminal" | "colour" | "amount" | "rail" | "title" | "note";
  readonly anchor: "start" | "middle";
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
  readonly labels: readonly DrawnLabel[];
}

export interface LiveState {
  readonly state: MachineState;
  readonly solution: Solution;
}

const ROW = 84;
const TOP = 96;
const MARGIN = 24;
const RAIL_HEAD = 26;
/** Below these nothing is called live or carrying: less than a clamp or a tester shows. */
const LEAST_VOLTS = 1;
const LEAST_AMPS = 1e-4;

/** @param live the state to show; without it every contact is drawn at rest */
export function drawCircuit(machine: Machine, live?: LiveState): Drawing {
  const circuit = buildCircuit(machine);
  const graph = networkGraph(circuit);
  const sheet = ladder(graph);
  const state = live?.state ?? restState(machine);
  const rest = restState(machine);
  const symbols: DrawnSymbol[] = [];
  const wires: DrawnWire[] = [];
  const labels: DrawnLabel[] = [];
  const dots: { net: number; x: number; y: number }[] = [];

  // -------- what is written at each piece
  const degree = new Map<number, number>();
  for (const { fromNet, toNet } of graph.pieces)
    for (const net of [fromNet, toNet]) degree.set(net, (degree.get(net) ?? 0) + 1);
  const colours = (test: (a: number, b: number) => boolean): string => {
    const found = machine.wires.filter(({ a, b, colour }) => colour && test(a, b)).map(({ colour }) => colour!);
    return [...new Set(found)].join("/");
  };
  const colourAt = (piece: Piece, end: "from" | "to"): string => {
    const net = end === "from" ? piece.fromNet : piece.toNet;
    const chained = degree.get(net) === 2 && !graph.rails.has(net) && piece.fromNet !== piece.toNet;
    // A plain connection between two pieces is lettered once, at the end of the first.
    if (chained) return end === "to" ? colours((a) => circuit.jointOf[a] === net) : "";
    const terminal = piece[end];
    return colours((a, b) => a === terminal || b === terminal);
  };
  const facts = sheet.pieces.map((placed) => {
    const { piece } = placed;
    const from = machine.terminals[piece.from]!.name;
    const to = machine.terminals[piece.to]!.name;
    return {
      placed,
      name: nameOf(machine, piece),
      from: /^[ab]$/.test(from) ? "" : from,
      to: /^[ab]$/.test(to) ? "" : to,
      fromColour: colourAt(piece, "from"),
      toColour: colourAt(piece, "to"),
      amount: amountOf(machine, piece, live),
    };
  });

  // -------- channels and slots from left to right
  const slotWidth: number[] = Array.from({ length: sheet.channels }, () => 0);
  for (const { placed, name, from, to, fromColour, toColour, amount } of facts) {
    const side = Math.max(...[from, to, fromColour, toColour].map(textWidth));
    const width = Math.max(SYMBOL.width + 2 * (side + 12), textWidth(name) + 12, textWidth(amount) + 12, 104);
    slotWidth[placed.slot] = Math.max(slotWidth[placed.slot]!, width);
  }
  const channelX: number[] = [];
  const spacing: number[] = [];
  let x = MARGIN;
  for (let channel = 0; channel < sheet.channels; channel++) {
    const names = [...sheet.nets.values()].filter((net) => net.channel === channel && graph.rails.has(net.net));
    spacing.push(Math.max(18, ...names.map(({ net }) => textWidth(graph.rails.get(net)!.name) * 1.25 + 10)));
    channelX.push(x);
    x += spacing[channel]! * sheet.tracks[channel]!;
    if (channel < sheet.channels - 1) x += slotWidth[channel]!;
  }
  const slotX = (slot: number) => channelX[slot]! + spacing[slot]! * sheet.tracks[slot]!;
  const netX = (net: number) => {
    const { channel, track } = sheet.nets.get(net)!;
    return channelX[channel]! + spacing[channel]! * (track + 0.5);
  };
  const rowY = (row: number) => TOP + row * ROW;

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
    if (x1 !== x2 || y1 !== y2)
      wires.push({ net, rail: graph.rails.has(net) && x1 === x2, x1, y1, x2, y2, weight: weigh(net, amps) });
  };

  // -------- pieces
  const meetings = new Map<number, { row: number; side: "left" | "right"; re: number; im: number }[]>();
  const meet = (net: number, row: number, side: "left" | "right", re: number, im: number) =>
    meetings.set(net, [...(meetings.get(net) ?? []), { row, side, re, im }]);
  for (const { placed, name, from, to, fromColour, toColour, amount } of facts) {
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
    label(name, middle, y - 22, "name");
    label(amount, middle, y + 27, "amount");
    const stub = half + 6;
    label(from, middle - stub - textWidth(from) / 2, y - 5, "terminal");
    label(to, middle + stub + textWidth(to) / 2, y - 5, "terminal");
    label(fromColour, middle - stub - textWidth(fromColour) / 2, y + 13, "colour");
    label(toColour, middle + stub + textWidth(toColour) / 2, y + 13, "colour");
  }

  // -------- uprights and dots
  for (const { net, firstRow } of sheet.nets.values()) {
    const at = netX(net);
    const rail = graph.rails.get(net);
    const rows = [...new Set(meetings.get(net)!.map(({ row }) => row))].sort((a, b) => a - b);
    const below = (row: number) => {
      const under = meetings.get(net)!.filter((one) => one.row > row);
      return Math.hypot(
        under.reduce((sum, { re }) => sum + re, 0),
        under.reduce((sum, { im }) => sum + im, 0),
      );
    };
    if (rail) {
      wire(net, at, rowY(firstRow) - RAIL_HEAD, at, rowY(firstRow), below(-1));
      labels.push({ text: rail.name, x: at, y: rowY(firstRow) - RAIL_HEAD - 5, role: "rail", anchor: "middle" });
    }
    rows.forEach((row, i) => {
      const next = rows[i + 1];
      if (next !== undefined) wire(net, at, rowY(row), at, rowY(next), below(row));
      const branches =
        meetings.get(net)!.filter((one) => one.row === row).length +
        (i > 0 || rail ? 1 : 0) +
        (next !== undefined ? 1 : 0);
      if (branches > 2) dots.push({ net, x: at, y: rowY(row) });
    });
  }

  // -------- heading, and what has no piece on the sheet
  const title = machine.label;
  labels.push({ text: title, x: MARGIN, y: 24, role: "title", anchor: "start" });
  labels.push({ text: supplyText(machine), x: MARGIN, y: 42, role: "note", anchor: "start" });
  let y = rowY(Math.max(1, sheet.rows)) - 24;
  const notes = [...alsoJoined(machine, circuit.jointOf, graph), ...lines(stateNote(machine, live))];
  for (const text of notes) {
    labels.push({ text, x: MARGIN, y, role: "note", anchor: "start" });
    y += 16;
  }
  const texts = labels.filter(({ anchor }) => anchor === "start").map(({ text }) => MARGIN + textWidth(text) * 1.35);
  return {
    width: Math.ceil(Math.max(x, ...texts) + MARGIN),
    height: y + MARGIN,
    live: live !== undefined,
    title,
    symbols,
    wires,
    dots,
    labels,
  };
}

function supplyText({ supply }: Machine): string {
  const breaker = supply.breakerAmps === undefined ? "" : `, breaker ${formatQuantity(supply.breakerAmps, "current")}`;
  return supply.stated
    ? `${supply.text}${breaker.length > 0 && !supply.text.includes("breaker") ? breaker : ""}`
    : "supply not stated";
}

function stateNote(machine: Machine, live: LiveState | undefined): string {
  if (!live) return "Drawn at rest: nothing touched, cold, empty.";
  return `State: ${describeState(machine, live.state)}. Heavy lines carry current, medium ones are live, thin ones are dead.`;
}

/** Broken at spaces after about 100 letters. */
function lines(text: string): string[] {
  const found: string[] = [];
  for (const word of text.split(" ")) {
    const last = found.at(-1);
    if (last !== undefined && last.length + word.length < 100) found[found.length - 1] = `${last} ${word}`;
    else found.push(word);
  }
  return found;
}

/** Points on no symbol: frames, splices, pins, spare rails; one line for each connection. */
function alsoJoined(machine: Machine, jointOf: Int32Array, graph: ReturnType<typeof networkGraph>): string[] {
  const shown = new Set(graph.pieces.flatMap(({ from, to }) => [from, to]));
  for (const { terminal } of machine.supply.legs) if (graph.rails.has(jointOf[terminal]!)) shown.add(terminal);
  const wired = new Set(machine.wires.flatMap(({ a, b }) => [a, b]));
  const drawnNets = new Map(graph.pieces.flatMap((p) => [[p.toNet, p.to] as const, [p.fromNet, p.from] as const]));
  const groups = new Map<number, number[]>();
  for (const { id } of machine.terminals)
    if (wired.has(id) && !shown.has(id)) groups.set(jointOf[id]!, [...(groups.get(jointOf[id]!) ?? []), id]);
  return [...groups].map(([net, terminals]) => {
    const with_ =
      graph.rails.get(net)?.name ?? (drawnNets.has(net) ? machine.terminals[drawnNets.get(net)!]!.fullName : undefined);
    const letters = [
      ...new Set(machine.wires.filter(({ a, colour }) => colour && jointOf[a] === net).map((w) => w.colour!)),
    ];
    const names = [...(with_ === undefined ? [] : [with_]), ...terminals.map((id) => machine.terminals[id]!.fullName)];
    return `Joined: ${names.join(", ")}${with_ === undefined && letters.length > 0 ? `  ${letters.join("/")}` : ""}`;
  });
}

function nameOf(machine: Machine, { what }: Piece): string {
  if (what.of === "contact") return machine.contacts[what.contact]!.name;
  if (what.of === "load") return machine.loads[what.load]!.name;
  return `${machine.parts[machine.transformers[what.transformer]!.part]!.name} ${what.side}`;
}

/** Amps in a state; without one what the plate says of a load. */
function amountOf(machine: Machine, { what }: Piece, live: LiveState | undefined): string {
  if (what.of === "transformer") {
    if (!live) return "";
    const { re, im } = windingCurrent(machine, what.transformer, what.side, live.solution);
    const through = Math.hypot(re, im);
    return Number.isNaN(through) ? "not solved" : through > LEAST_AMPS ? formatQuantity(through, "current") : "";
  }
  const load = what.of === "load" ? machine.loads[what.load]! : undefined;
  if (!live) {
    if (!load) return "";
    if (load.capacitance !== undefined) return formatQuantity(load.capacitance, "capacitance");
    if (load.ratedWatts !== undefined) return formatQuantity(load.ratedWatts, "power");
    return load.ratedAmps === undefined ? "" : formatQuantity(load.ratedAmps, "current");
  }
  const { re, im } = what.of === "load" ? live.solution.loadAmps : live.solution.contactAmps;
  const id = what.of === "load" ? what.load : what.contact;
  const amps = Math.hypot(re[id]!, im[id]!);
  if (Number.isNaN(amps)) return "not solved";
  if (amps <= LEAST_AMPS) return "";
  return load && !load.known ? "amps not known" : formatQuantity(amps, "current");
}

/** Current from `from` to `to`, through the piece. */
function flowOf(machine: Machine, { what, turned }: Piece, live: LiveState | undefined): Complex {
  if (!live) return { re: 0, im: 0 };
  const sign = turned ? -1 : 1;
  if (what.of === "transformer") {
    const through = windingCurrent(machine, what.transformer, what.side, live.solution);
    return { re: sign * through.re, im: sign * through.im };
  }
  const { re, im } = what.of === "load" ? live.solution.loadAmps : live.solution.contactAmps;
  const id = what.of === "load" ? what.load : what.contact;
  return { re: sign * re[id]!, im: sign * im[id]! };
}

/** Into the first terminal of a winding: the secondary's delivered current turned round, or that by the ratio and the magnetising current. */
function windingCurrent(
  machine: Machine,
  transformer: number,
  side: "primary" | "secondary",
  { circuit, joints, transformerAmps }: Solution,
): Complex {
  const { primary, ratio, magnetising } = machine.transformers[transformer]!;
  const delivered = { re: transformerAmps.re[transformer]!, im: transformerAmps.im[transformer]! };
  if (side === "secondary") return { re: -delivered.re, im: -delivered.im };
  const [a, b] = [circuit.jointOf[primary[0]]!, circuit.jointOf[primary[1]]!];
  const re = joints.re[a]! - joints.re[b]!;
  const im = joints.im[a]! - joints.im[b]!;
  const size = magnetising.re ** 2 + magnetising.im ** 2;
  const magnetised = Number.isFinite(size) && size > 0;
  return {
    re: delivered.re / ratio + (magnetised ? (re * magnetising.re + im * magnetising.im) / size : 0),
    im: delivered.im / ratio + (magnetised ? (im * magnetising.re - re * magnetising.im) / size : 0),
  };
}

const holds = (condition: Condition, state: MachineState) =>
  condition.some((clause) => clause.every(({ control, positions }) => positions[state[control]!] === 1));

function lookOf(
  machine: Machine,
  { what }: Piece,
  state: MachineState,
  rest: MachineState,
): { kind: SymbolKind; contact?: ContactLook } {
  if (what.of === "transformer") return { kind: "winding" };
  if (what.of === "contact") {
    const contact = machine.contacts[what.contact]!;
    if (contact.role === "fuse") return { kind: "fuse" };
    const thermal = /^(thermostat|limit|link|overload|built-in-protector)$/.test(contact.role);
    const push = machine.parts[contact.part]!.kind === "push";
    const actuator = thermal ? "thermal" : push ? "push" : contact.role === "breaker" ? "breaker" : undefined;
    return {
      kind: "contact",
      contact: {
        closed: holds(contact.closed, state),
        breaks: holds(contact.closed, rest),
        ...(actuator ? { actuator } : {}),
      },
    };
  }
  const load = machine.loads[what.load]!;
  const alone = machine.parts[load.part]!.loads.length === 1;
  switch (load.kind) {
    case "heater":
    case "bias-heater":
    case "igniter":
      return { kind: "heater" };
    case "fan":
    case "pump":
    case "drive":
      return { kind: "motor" };
    case "winding":
      return { kind: alone ? "motor" : "winding" };
    case "start-winding":
      return { kind: "winding" };
    case "board":
    case "load":
      return { kind: "box" };
    default:
      return { kind: load.kind };
  }
}
