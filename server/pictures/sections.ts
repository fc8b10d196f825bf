/**
 * A big machine's drawing folded into sections that can be read alone: what each function needs, after what feeds several of
 * them. Every piece lies in exactly one section; where a net goes on in another one, both sheets say so.
 */
import type { LoadKind, Machine } from "../machine/machine.ts";
import { ladder } from "./ladder.ts";
import type { Head, NetworkGraph, Piece } from "./network-graph.ts";

export interface Section {
  /** From 1, as printed on the sheets. */
  readonly number: number;
  /** One word for the command line: `heat`, `heat-2`. */
  readonly key: string;
  readonly title: string;
  readonly pieces: readonly Piece[];
}

/** In the order of the sheets. Titles say the function; no published source, plain words of the trade. */
const functions = [
  { key: "feed", title: "Feed and shared switches" },
  { key: "motor", title: "Motor" },
  { key: "heat", title: "Heat" },
  { key: "valves", title: "Valves and pumps" },
  { key: "fans", title: "Fans" },
  { key: "timer", title: "Timer motor" },
  { key: "relays", title: "Relays and boards" },
  { key: "signals", title: "Lamps and signals" },
  { key: "others", title: "Others" },
] as const;
type FunctionKey = (typeof functions)[number]["key"];

/** Undefined for what only conducts: it belongs to what it leads to. */
const functionOf: Readonly<Record<LoadKind, FunctionKey | undefined>> = {
  winding: "motor",
  "start-winding": "motor",
  heater: "heat",
  "bias-heater": "heat",
  igniter: "heat",
  valve: "valves",
  pump: "valves",
  fan: "fans",
  drive: "timer",
  coil: "relays",
  board: "relays",
  lamp: "signals",
  neon: "signals",
  buzzer: "signals",
  load: "others",
  sensor: undefined,
  resistor: undefined,
  capacitor: undefined,
  ptc: undefined,
  diode: undefined,
};

/** A sheet of so many rows still fits a screen; a section is cut where it would be higher. */
const mostRows = 12;
/** Up to so many rows the whole machine is one sheet, unless somebody asks for sections. */
const mostRowsWhole = 16;

/** True when the whole on one sheet is too high to be read at a glance. */
export function isBig(graph: NetworkGraph): boolean {
  return ladder(graph).rows > mostRowsWhole;
}

export function sectionsOf(machine: Machine, graph: NetworkGraph): readonly Section[] {
  const members = new Map<FunctionKey, Piece[]>();
  const keys = keysOf(machine, graph);
  for (const piece of graph.pieces) {
    const key = keys.get(piece)!;
    members.set(key, [...(members.get(key) ?? []), piece]);
  }
  const sections: Section[] = [];
  for (const { key, title } of functions) {
    const parts = cut(members.get(key) ?? [], graph);
    parts.forEach((pieces, i) => {
      const several = parts.length > 1 ? i + 1 : undefined;
      sections.push({
        number: sections.length + 1,
        key: several === undefined ? key : `${key}-${several}`,
        title: several === undefined ? title : `${title}, part ${several}`,
        pieces,
      });
    });
  }
  return sections;
}

/** The function of each piece: a load's own; for what conducts that of the loads it leads to, or "feed" when there are several. */
function keysOf(machine: Machine, { pieces, order, rails }: NetworkGraph): Map<Piece, FunctionKey> {
  const own = (piece: Piece): FunctionKey | undefined => {
    if (piece.what.of === "load") return functionOf[machine.loads[piece.what.load]!.kind];
    return piece.what.of === "transformer" ? "relays" : undefined;
  };
  const leaving = new Map<number, Piece[]>();
  const entering = new Map<number, Piece[]>();
  for (const piece of pieces) {
    if (piece.fromNet === piece.toNet) continue;
    leaving.set(piece.fromNet, [...(leaving.get(piece.fromNet) ?? []), piece]);
    entering.set(piece.toNet, [...(entering.get(piece.toNet) ?? []), piece]);
  }
  /** Functions met from each net on, through what conducts, up to the first load. */
  const met = (nets: readonly number[], around: typeof leaving, far: (piece: Piece) => number) => {
    const found = new Map<number, ReadonlySet<FunctionKey>>();
    for (const net of nets) {
      const here = new Set<FunctionKey>();
      for (const piece of around.get(net) ?? []) {
        const key = own(piece);
        if (key) here.add(key);
        else for (const beyond of found.get(far(piece)) ?? []) here.add(beyond);
      }
      found.set(net, here);
    }
    return found;
  };
  // Every piece leads from an earlier net of the order to a later one.
  const down = met([...order].reverse(), leaving, ({ toNet }) => toNet);
  const up = met(order, entering, ({ fromNet }) => fromNet);
  const keys = new Map<Piece, FunctionKey>();
  const unclear: Piece[] = [];
  for (const piece of pieces) {
    const key = own(piece);
    const below = down.get(piece.toNet) ?? new Set();
    const reached = below.size > 0 ? below : (up.get(piece.fromNet) ?? new Set());
    if (key) keys.set(piece, key);
    else if (reached.size > 0) keys.set(piece, reached.size === 1 ? [...reached][0]! : "feed");
    else unclear.push(piece);
  }
  settle(unclear, keys, pieces, rails);
  return keys;
}

/** What leads to no load either way (both ends of a start winding's changeover) goes with what it is joined to. */
function settle(
  unclear: readonly Piece[],
  keys: Map<Piece, FunctionKey>,
  pieces: readonly Piece[],
  rails: NetworkGraph["rails"],
): void {
  const at = new Map<number, Piece[]>();
  for (const piece of pieces)
    for (const net of new Set([piece.fromNet, piece.toNet]))
      if (!rails.has(net)) at.set(net, [...(at.get(net) ?? []), piece]);
  let left = unclear;
  while (left.length > 0) {
    const found = left.flatMap((piece) => {
      const near = [piece.fromNet, piece.toNet].flatMap((net) => at.get(net) ?? []);
      const known = new Set(near.flatMap((one) => keys.get(one) ?? []));
      known.delete("feed");
      return known.size === 0 ? [] : [{ piece, key: known.size === 1 ? [...known][0]! : ("feed" as const) }];
    });
    if (found.length === 0) break;
    for (const { piece, key } of found) keys.set(piece, key);
    left = left.filter((piece) => !keys.has(piece));
  }
  for (const piece of left) keys.set(piece, "feed");
}

/** Pieces of one function as sheets that are not too high: what hangs together stays together, by the rails that it lies between. */
function cut(pieces: readonly Piece[], graph: NetworkGraph): Piece[][] {
  if (pieces.length === 0) return [];
  const sheet = ladder({ ...graph, pieces, order: netsOf(pieces, graph) });
  if (sheet.rows <= mostRows) return [[...pieces]];
  const rowOf = new Map(sheet.pieces.map(({ piece, row }) => [piece, row]));
  const islands = hangTogether(pieces, graph).map((island) => {
    const rails = [...new Set(island.flatMap(({ fromNet, toNet }) => [fromNet, toNet]))].filter((net) =>
      graph.rails.has(net),
    );
    const rows = [...new Set(island.map((piece) => rowOf.get(piece)!))].sort((a, b) => a - b);
    return { island, rails: rails.sort((a, b) => a - b).join(" "), rows };
  });
  islands.sort((a, b) => a.rails.localeCompare(b.rails) || a.rows[0]! - b.rows[0]!);
  const total = islands.reduce((sum, { rows }) => sum + rows.length, 0);
  // Sheets of about the same height.
  const height = Math.ceil(total / Math.ceil(total / mostRows));
  const sheets: Piece[][] = [];
  let filled = Number.POSITIVE_INFINITY;
  for (const { island, rows } of islands) {
    if (rows.length > mostRows) {
      // Too much of one piece: cut between rows.
      const number = Math.ceil(rows.length / Math.ceil(rows.length / mostRows));
      for (let first = 0; first < rows.length; first += number) {
        const here = new Set(rows.slice(first, first + number));
        sheets.push(island.filter((piece) => here.has(rowOf.get(piece)!)));
      }
      filled = Number.POSITIVE_INFINITY;
      continue;
    }
    if (filled + rows.length > height + 1) {
      sheets.push([]);
      filled = 0;
    }
    sheets.at(-1)!.push(...island);
    filled += rows.length;
  }
  return sheets;
}

/** Groups of pieces that share nets other than rails, and nets of other sections do not tie. */
function hangTogether(pieces: readonly Piece[], graph: NetworkGraph): Piece[][] {
  const count = new Map<number, number>();
  for (const { fromNet, toNet } of graph.pieces)
    for (const net of new Set([fromNet, toNet])) count.set(net, (count.get(net) ?? 0) + 1);
  const inside = new Map<number, number>();
  for (const { fromNet, toNet } of pieces)
    for (const net of new Set([fromNet, toNet])) inside.set(net, (inside.get(net) ?? 0) + 1);
  const ties = (net: number) => !graph.rails.has(net) && inside.get(net) === count.get(net);
  const root = new Map<Piece, Piece>(pieces.map((piece) => [piece, piece]));
  const rootOf = (piece: Piece): Piece => {
    let at = piece;
    while (root.get(at) !== at) at = root.get(at)!;
    return at;
  };
  const first = new Map<number, Piece>();
  for (const piece of pieces)
    for (const net of [piece.fromNet, piece.toNet]) {
      if (!ties(net)) continue;
      const before = first.get(net);
      if (before) root.set(rootOf(piece), rootOf(before));
      else first.set(net, piece);
    }
  const groups = new Map<Piece, Piece[]>();
  for (const piece of pieces) groups.set(rootOf(piece), [...(groups.get(rootOf(piece)) ?? []), piece]);
  return [...groups.values()];
}

function netsOf(pieces: readonly Piece[], { order }: NetworkGraph): number[] {
  const used = new Set(pieces.flatMap(({ fromNet, toNet }) => [fromNet, toNet]));
  return order.filter((net) => used.has(net));
}

/** Where a net goes on: sections that feed it, and those that it feeds. */
export interface GoesOn {
  readonly net: number;
  readonly from: readonly number[];
  readonly to: readonly number[];
}

export interface SectionSheet {
  readonly graph: NetworkGraph;
  readonly goesOn: ReadonlyMap<number, GoesOn>;
}

/** The graph of one section alone: nets that go on elsewhere have a head, as rails have. `nameOf`: what such a net is called. */
export function sheetOf(
  section: Section,
  sections: readonly Section[],
  whole: NetworkGraph,
  nameOf: (net: number) => string,
): SectionSheet {
  const order = netsOf(section.pieces, whole);
  const heads = new Map<number, Head>();
  const goesOn = new Map<number, GoesOn>();
  for (const net of order) {
    const rail = whole.rails.get(net);
    if (rail) {
      heads.set(net, rail);
      continue;
    }
    const others = sections.filter((one) => one !== section);
    const fed = (pieces: readonly Piece[]) => pieces.some(({ toNet }) => toNet === net);
    const feeds = (pieces: readonly Piece[]) => pieces.some(({ fromNet }) => fromNet === net);
    const from = others.filter(({ pieces }) => fed(pieces)).map(({ number }) => number);
    const to = others.filter(({ pieces }) => feeds(pieces)).map(({ number }) => number);
    if (from.length + to.length === 0) continue;
    goesOn.set(net, { net, from, to: to.filter((number) => !from.includes(number)) });
    const side = !fed(section.pieces) ? "feed" : !feeds(section.pieces) ? "return" : "through";
    heads.set(net, { name: nameOf(net), side });
  }
  return { graph: { pieces: section.pieces, order: railsOut(order, heads), rails: heads }, goesOn };
}

/** Feeding heads first and returning ones last, as the ladder wants them; else as in the whole. */
function railsOut(order: readonly number[], heads: ReadonlyMap<number, Head>): number[] {
  const rank = (net: number) => ({ feed: 0, through: 1, return: 2 })[heads.get(net)?.side ?? "through"];
  return order
    .map((net, i) => ({ net, i }))
    .sort((a, b) => rank(a.net) - rank(b.net) || a.i - b.i)
    .map(({ net }) => net);
}
