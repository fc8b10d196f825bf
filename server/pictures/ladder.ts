/**
 * Places of a ladder drawing. Every net is one upright line in a channel, every piece lies level in one row between the lines of
 * its two nets, its symbol in the slot between two channels. Since uprights run only in channels and no two pieces share a
 * stretch of a row, no wire can pass through a symbol and no two wires can lie on each other, whatever the circuit.
 */
import type { NetworkGraph, Piece } from "./network-graph.ts";

export interface PlacedPiece {
  readonly piece: Piece;
  readonly row: number;
  /** Channels of its two nets, and the channel right before its symbol. */
  readonly fromChannel: number;
  readonly toChannel: number;
  readonly slot: number;
  /** Both ends on the same net: the wire comes back one row below. */
  readonly loop: boolean;
}

export interface PlacedNet {
  readonly net: number;
  readonly channel: number;
  /** Track within the channel, from the left. */
  track: number;
  firstRow: number;
  lastRow: number;
}

export interface Ladder {
  readonly pieces: readonly PlacedPiece[];
  readonly nets: ReadonlyMap<number, PlacedNet>;
  readonly rows: number;
  readonly channels: number;
  /** Number of tracks of each channel. */
  readonly tracks: readonly number[];
}

interface Taken {
  readonly from: number;
  readonly to: number;
  readonly fromNet: number;
  readonly toNet: number;
}

export function ladder({ pieces, order, rails }: NetworkGraph): Ladder {
  const channelOf = channels(pieces, order, rails);
  const lastChannel = Math.max(1, ...channelOf.values(), ...pieces.map((p) => channelOf.get(p.fromNet)! + 1));
  const rows: Taken[][] = [];
  const placed: PlacedPiece[] = [];

  const fits = (row: number, taken: Taken) =>
    (rows[row] ?? []).every(
      (other) =>
        taken.to < other.from ||
        other.to < taken.from ||
        (taken.to === other.from && taken.toNet === other.fromNet) ||
        (other.to === taken.from && other.toNet === taken.fromNet),
    );
  const take = (row: number, taken: Taken) => {
    while (rows.length <= row) rows.push([]);
    rows[row]!.push(taken);
  };

  for (const path of paths(pieces, order, rails)) {
    const first = path[0]!;
    const last = path.at(-1)!;
    const loop = first.fromNet === first.toNet;
    const from = channelOf.get(first.fromNet)!;
    const to = loop ? from + 1 : channelOf.get(last.toNet)!;
    // A loop's far end belongs to no net: -1 never shares.
    const taken: Taken = { from, to, fromNet: first.fromNet, toNet: loop ? -1 : last.toNet };
    // The row just begun, when this path fits beside what lies there; else a new one: branches stay under their stem.
    const row = !loop && rows.length > 0 && fits(rows.length - 1, taken) ? rows.length - 1 : rows.length;
    take(row, taken);
    if (loop) take(row + 1, taken);
    for (const piece of path) {
      const fromChannel = channelOf.get(piece.fromNet)!;
      const toChannel = loop ? fromChannel + 1 : channelOf.get(piece.toNet)!;
      // Controls next to where they are fed from, loads next to where the current returns.
      const slot = piece.what.of === "contact" ? fromChannel : toChannel - 1;
      placed.push({ piece, row, fromChannel, toChannel, slot, loop });
    }
  }

  const nets = new Map<number, PlacedNet>();
  const reach = (net: number, row: number) => {
    const known = nets.get(net);
    if (!known) nets.set(net, { net, channel: channelOf.get(net)!, track: 0, firstRow: row, lastRow: row });
    else {
      known.firstRow = Math.min(known.firstRow, row);
      known.lastRow = Math.max(known.lastRow, row);
    }
  };
  for (const { piece, row, loop } of placed) {
    reach(piece.fromNet, row);
    reach(piece.toNet, loop ? row + 1 : row);
  }
  const tracks: number[] = [];
  for (let channel = 0; channel <= lastChannel; channel++)
    tracks.push(
      assignTracks(
        [...nets.values()].filter((net) => net.channel === channel),
        rails,
      ),
    );
  return { pieces: placed, nets, rows: rows.length, channels: lastChannel + 1, tracks };
}

/** Longest way from the feed: every piece leads to a later channel. Return rails stand in the last. */
function channels(
  pieces: readonly Piece[],
  order: readonly number[],
  rails: NetworkGraph["rails"],
): Map<number, number> {
  const into = new Map<number, number[]>();
  for (const { fromNet, toNet } of pieces)
    if (fromNet !== toNet) into.set(toNet, [...(into.get(toNet) ?? []), fromNet]);
  const channel = new Map<number, number>();
  for (const net of order) {
    const before = (into.get(net) ?? []).map((other) => channel.get(other)!);
    // Only a feeding rail stands in the first channel.
    const least = rails.get(net)?.side === "feed" ? 0 : 1;
    channel.set(net, Math.max(least, ...before.map((other) => other + 1)));
  }
  const returns = order.filter((net) => rails.get(net)?.side === "return");
  // No upright of another net stands beyond the return rails.
  const inner = order
    .filter((net) => (rails.get(net)?.side ?? "through") === "through")
    .map((net) => channel.get(net)! + 1);
  let furthest = Math.max(1, ...channel.values(), ...inner);
  // Pieces between two return rails need room between these: each such rail stands behind the one that feeds it.
  for (const net of returns) {
    const before = (into.get(net) ?? []).filter((other) => rails.get(other)?.side === "return");
    if (before.length > 0) furthest = Math.max(furthest, ...before.map((other) => channel.get(other)! + 1));
    channel.set(net, Math.max(furthest, channel.get(net)!));
  }
  return channel;
}

/**
 * The pieces as ways through the sheet: each goes on from net to net until a rail or a net drawn before. Branches follow
 * their stem from its far end back, so that they lie under it without crossing where the circuit allows.
 */
function paths(pieces: readonly Piece[], order: readonly number[], rails: NetworkGraph["rails"]): Piece[][] {
  const leaving = new Map<number, Piece[]>();
  for (const piece of pieces) leaving.set(piece.fromNet, [...(leaving.get(piece.fromNet) ?? []), piece]);
  const done = new Set<Piece>();
  const seen = new Set<number>([...rails].filter(([, { side }]) => side !== "through").map(([net]) => net));
  const found: Piece[][] = [];
  const next = (net: number) => (leaving.get(net) ?? []).find((piece) => !done.has(piece));
  const drawFrom = (start: number) => {
    // An own stack: circuits may be deeper than the call stack.
    const stems = [start];
    while (stems.length > 0) {
      const net = stems.at(-1)!;
      let piece = next(net);
      if (!piece) {
        stems.pop();
        continue;
      }
      seen.add(net);
      const path: Piece[] = [];
      while (piece) {
        done.add(piece);
        path.push(piece);
        if (piece.fromNet === piece.toNet || seen.has(piece.toNet)) break;
        seen.add(piece.toNet);
        stems.push(piece.toNet);
        // A loop is never part of a longer way.
        const onward: Piece | undefined = next(piece.toNet);
        piece = onward && onward.fromNet !== onward.toNet ? onward : undefined;
      }
      found.push(path);
    }
  };
  for (const net of order) drawFrom(net);
  return found;
}

/** Fewest tracks such that nets of one channel never touch; a rail needs the row above it for its name. */
function assignTracks(nets: PlacedNet[], rails: NetworkGraph["rails"]): number {
  const free: number[] = [];
  nets.sort((a, b) => a.firstRow - b.firstRow || a.net - b.net);
  for (const net of nets) {
    const top = rails.has(net.net) ? net.firstRow - 1 : net.firstRow;
    let track = free.findIndex((last) => last < top);
    if (track < 0) track = free.push(-1) - 1;
    net.track = track;
    free[track] = net.lastRow;
  }
  return Math.max(1, free.length);
}
