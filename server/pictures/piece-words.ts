/** What is written around each piece: names of its points, colours of its wires, what it takes, its findings. */
import { colourCode } from "../../grammar/colours.ts";
import type { Circuit } from "../circuit/circuit.ts";
import type { Machine } from "../machine/machine.ts";
import { amountOf, type LiveState, nameOf } from "./drawn-values.ts";
import type { FindingMark } from "./finding-marks.ts";
import type { PlacedPiece } from "./ladder.ts";
import type { NetworkGraph, Piece } from "./network-graph.ts";

export interface PieceWords {
  readonly placed: PlacedPiece;
  readonly name: string;
  readonly from: string;
  readonly to: string;
  /** Letters of IEC 60757 of the wires at each end, a wire with a tracer as `GN/YE`; empty where it is told at the other end. */
  readonly fromColours: readonly string[];
  readonly toColours: readonly string[];
  readonly amount: string;
  readonly marks: readonly FindingMark[];
}

export function pieceWords(
  machine: Machine,
  { jointOf }: Circuit,
  graph: NetworkGraph,
  pieces: readonly PlacedPiece[],
  live: LiveState | undefined,
  marks: ReadonlyMap<string, readonly FindingMark[]>,
): PieceWords[] {
  const degree = new Map<number, number>();
  for (const { fromNet, toNet } of graph.pieces)
    for (const net of [fromNet, toNet]) degree.set(net, (degree.get(net) ?? 0) + 1);
  const byTerminal = new Map<number, Set<string>>();
  const byNet = new Map<number, Set<string>>();
  const put = (map: Map<number, Set<string>>, key: number, colour: string) =>
    map.set(key, (map.get(key) ?? new Set()).add(colour));
  for (const { a, b, colour } of machine.wires) {
    if (colour === undefined) continue;
    const code = colourCode(colour) ?? colour;
    for (const end of [a, b]) put(byTerminal, end, code);
    put(byNet, jointOf[a]!, code);
  }
  const coloursAt = (piece: Piece, end: "from" | "to"): readonly string[] => {
    const net = end === "from" ? piece.fromNet : piece.toNet;
    const chained = degree.get(net) === 2 && !graph.rails.has(net) && piece.fromNet !== piece.toNet;
    // A plain connection between two pieces is lettered once, at the end of the first.
    if (chained) return end === "to" ? [...(byNet.get(net) ?? [])] : [];
    return [...(byTerminal.get(piece[end]) ?? [])];
  };
  return pieces.map((placed) => {
    const { piece } = placed;
    const name = nameOf(machine, piece);
    const point = (terminal: number) => {
      const { name: stamped } = machine.terminals[terminal]!;
      return /^[ab]$/.test(stamped) ? "" : stamped;
    };
    return {
      placed,
      name,
      from: point(piece.from),
      to: point(piece.to),
      fromColours: coloursAt(piece, "from"),
      toColours: coloursAt(piece, "to"),
      amount: amountOf(machine, piece, live),
      marks: marks.get(name) ?? [],
    };
  });
}
