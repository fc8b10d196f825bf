/** The circuit as the drawing sees it: two-ended pieces between nets, each directed from the feeding side to the return side. */
import type { Circuit } from "../circuit/circuit.ts";
import type { ContactId, LoadId, TerminalId } from "../machine/machine.ts";

export type PieceOf =
  | { readonly of: "contact"; readonly contact: ContactId }
  | { readonly of: "load"; readonly load: LoadId }
  | { readonly of: "transformer"; readonly transformer: number; readonly side: "primary" | "secondary" };

export interface Piece {
  readonly what: PieceOf;
  /** Terminal and net towards the feeding rail, and towards the return rail. */
  readonly from: TerminalId;
  readonly to: TerminalId;
  readonly fromNet: number;
  readonly toNet: number;
  /** True when drawn against the text: `from` is the second terminal written. */
  readonly turned: boolean;
}

/** An upright with a name above it: a rail, or in a section a net that goes on in another one (`through`: fed and feeding here). */
export interface Head {
  readonly name: string;
  readonly side: "feed" | "through" | "return";
}

export interface NetworkGraph {
  readonly pieces: readonly Piece[];
  /** Nets with at least one piece, in drawing order from feed to return. */
  readonly order: readonly number[];
  /** Joints of legs that have pieces: name as printed, and on which side of the sheet. */
  readonly rails: ReadonlyMap<number, Head>;
}

/** Sweeps of the relaxation that orders the nets; the result only decides looks, never what is drawn. */
const sweeps = 200;

export function networkGraph(circuit: Circuit): NetworkGraph {
  const { machine, jointOf, legJoint } = circuit;
  const raw: { what: PieceOf; a: TerminalId; b: TerminalId; weight: number }[] = [];
  for (const { id, a, b } of machine.contacts) raw.push({ what: { of: "contact", contact: id }, a, b, weight: 10 });
  for (const { id, a, b } of machine.loads) raw.push({ what: { of: "load", load: id }, a, b, weight: 1 });
  machine.transformers.forEach(({ primary, secondary }, transformer) => {
    raw.push({ what: { of: "transformer", transformer, side: "primary" }, a: primary[0], b: primary[1], weight: 1 });
    raw.push({
      what: { of: "transformer", transformer, side: "secondary" },
      a: secondary[0],
      b: secondary[1],
      weight: 1,
    });
  });
  const used = new Set(raw.flatMap(({ a, b }) => [jointOf[a]!, jointOf[b]!]));

  const rails = new Map<number, Head>();
  machine.supply.legs.forEach(({ name }, leg) => {
    const joint = legJoint[leg]!;
    const before = rails.get(joint);
    if (!used.has(joint)) return;
    if (before) rails.set(joint, { ...before, name: `${before.name} ${name}` });
    else rails.set(joint, { name, side: leg === 0 ? "feed" : "return" });
  });

  const height = heights(
    circuit.jointCount,
    raw.map(({ a, b, weight }) => ({ a: jointOf[a]!, b: jointOf[b]!, weight })),
    rails,
  );
  const sideRank = (net: number) => (rails.get(net)?.side === "feed" ? 0 : rails.has(net) ? 2 : 1);
  const order = [...used].sort(
    (a, b) => sideRank(a) - sideRank(b) || (sideRank(a) === 1 ? height[b]! - height[a]! : 0) || a - b,
  );
  const rank = new Map(order.map((net, i) => [net, i]));
  const pieces = raw.map(({ what, a, b }): Piece => {
    const turned = rank.get(jointOf[a]!)! > rank.get(jointOf[b]!)!;
    const [from, to] = turned ? [b, a] : [a, b];
    return { what, from, to, fromNet: jointOf[from]!, toNet: jointOf[to]!, turned };
  });
  return { pieces, order, rails };
}

/**
 * How far each net lies on the feeding side, 1 at the first leg and 0 at the others, as volts would spread with contacts
 * ten times as conductive as loads: controls come before loads where the circuit has them so. Rounded, so that equal nets tie.
 */
function heights(
  count: number,
  edges: readonly { a: number; b: number; weight: number }[],
  rails: NetworkGraph["rails"],
): Float64Array {
  const height = new Float64Array(count).fill(0.5);
  for (const [net, { side }] of rails) height[net] = side === "feed" ? 1 : 0;
  const around: { net: number; weight: number }[][] = Array.from({ length: count }, () => []);
  for (const { a, b, weight } of edges) {
    around[a]!.push({ net: b, weight });
    around[b]!.push({ net: a, weight });
  }
  for (let sweep = 0; sweep < sweeps; sweep++) {
    for (let net = 0; net < count; net++) {
      const near = around[net]!;
      if (rails.has(net) || near.length === 0) continue;
      let sum = 0;
      let total = 0;
      for (const one of near) {
        sum += height[one.net]! * one.weight;
        total += one.weight;
      }
      height[net] = sum / total;
    }
  }
  return height.map((value) => Math.round(value * 1e4) / 1e4);
}
