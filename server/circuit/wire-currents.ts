/** Current through one written wire: Kirchhoff's current law on the points that the wire alone joins to the rest. */
import type { Complex, Machine, TerminalId, WireId } from "../machine/machine.ts";
import type { Solution } from "./circuit.ts";

/**
 * The points on the far side of a wire (its second end and what other wires join with it). Undefined where the current of the
 * wire is not one number: its first end is reached too (wires in a ring), or each side has a supply leg of its own.
 */
export function farSideOf(machine: Machine, wire: WireId): ReadonlySet<TerminalId> | undefined {
  const { a: first, b: second } = machine.wires[wire]!;
  const far = sideOf(machine, wire, second);
  if (far.has(first)) return undefined;
  const legs = machine.supply.legs.map(({ terminal }) => terminal);
  if (!legs.some((leg) => far.has(leg))) return far;
  const near = sideOf(machine, wire, first);
  return legs.some((leg) => near.has(leg)) ? undefined : far;
}

function sideOf(machine: Machine, wire: WireId, from: TerminalId): Set<TerminalId> {
  const side = new Set<TerminalId>([from]);
  const wires = machine.wires.filter(({ id, a, b }) => id !== wire && a !== b);
  for (let grew = true; grew; ) {
    grew = false;
    for (const { a, b } of wires) {
      if (side.has(a) === side.has(b)) continue;
      side.add(a).add(b);
      grew = true;
    }
  }
  return side;
}

/** Current through a wire from its first end to its second, A, given its far side; NaN where something there is not told. */
export function wireCurrent(solution: Solution, far: ReadonlySet<TerminalId>): Complex {
  const { circuit, contactAmps, loadAmps, legAmps, transformerAmps, joints } = solution;
  const { machine, jointOf } = circuit;
  let re = 0;
  let im = 0;
  const leaves = (terminal: TerminalId, x: number, y: number): void => {
    if (!far.has(terminal)) return;
    re += x;
    im += y;
  };
  const passes = (a: TerminalId, b: TerminalId, x: number, y: number): void => {
    leaves(a, x, y);
    leaves(b, -x, -y);
  };
  for (const { id, a, b } of machine.contacts) passes(a, b, contactAmps.re[id]!, contactAmps.im[id]!);
  for (const { id, a, b } of machine.loads) passes(a, b, loadAmps.re[id]!, loadAmps.im[id]!);
  machine.supply.legs.forEach(({ terminal }, leg) => {
    leaves(terminal, -legAmps.re[leg]!, -legAmps.im[leg]!);
  });
  machine.transformers.forEach(({ primary, secondary, ratio, magnetising }, index) => {
    const [sRe, sIm] = [transformerAmps.re[index]!, transformerAmps.im[index]!];
    passes(secondary[1], secondary[0], sRe, sIm);
    // The primary takes what the secondary gives, by turns, and what magnetises the core.
    const [p, q] = [jointOf[primary[0]]!, jointOf[primary[1]]!];
    const [vRe, vIm] = [joints.re[p]! - joints.re[q]!, joints.im[p]! - joints.im[q]!];
    const square = magnetising.re ** 2 + magnetising.im ** 2;
    const none = square === 0;
    const mRe = none ? 0 : (vRe * magnetising.re + vIm * magnetising.im) / square;
    const mIm = none ? 0 : (vIm * magnetising.re - vRe * magnetising.im) / square;
    passes(primary[0], primary[1], sRe / ratio + mRe, sIm / ratio + mIm);
  });
  return { re, im };
}
