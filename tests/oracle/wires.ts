/** Current of a wire from the side of its first end, where the engine's own way is from the second. */
import type { Solution } from "../../server/circuit/circuit.ts";
import type { Machine, TerminalId, WireId } from "../../server/machine/machine.ts";

/** Points that wires other than this one join with its first end; undefined where no current of one wire is told. */
export function nearSide(machine: Machine, wire: WireId): ReadonlySet<TerminalId> | undefined {
  const { a, b } = machine.wires[wire]!;
  const from = (start: TerminalId): Set<TerminalId> => {
    const side = new Set([start]);
    for (const at of side)
      for (const one of machine.wires) {
        if (one.id === wire) continue;
        if (one.a === at) side.add(one.b);
        if (one.b === at) side.add(one.a);
      }
    return side;
  };
  const near = from(a);
  if (near.has(b)) return undefined;
  const hasLeg = (side: ReadonlySet<TerminalId>): boolean =>
    machine.supply.legs.some(({ terminal }) => side.has(terminal));
  return hasLeg(near) && hasLeg(from(b)) ? undefined : near;
}

/** Amps that leave a group of points, which only one wire joins to others, through that wire. */
export function currentOutOf({ circuit, ...solution }: Solution, points: ReadonlySet<TerminalId>): number {
  const { machine, jointOf } = circuit;
  let re = 0;
  let im = 0;
  const add = (terminal: TerminalId, x: number, y: number): void => {
    re += points.has(terminal) ? x : 0;
    im += points.has(terminal) ? y : 0;
  };
  machine.supply.legs.forEach(({ terminal }, leg) => {
    add(terminal, solution.legAmps.re[leg]!, solution.legAmps.im[leg]!);
  });
  for (const { id, a, b } of machine.contacts) {
    add(a, -solution.contactAmps.re[id]!, -solution.contactAmps.im[id]!);
    add(b, solution.contactAmps.re[id]!, solution.contactAmps.im[id]!);
  }
  for (const { id, a, b } of machine.loads) {
    add(a, -solution.loadAmps.re[id]!, -solution.loadAmps.im[id]!);
    add(b, solution.loadAmps.re[id]!, solution.loadAmps.im[id]!);
  }
  machine.transformers.forEach(({ primary: [p, q], secondary: [s, t], ratio, magnetising }, i) => {
    const [x, y] = [solution.transformerAmps.re[i]!, solution.transformerAmps.im[i]!];
    add(s, x, y);
    add(t, -x, -y);
    const v = {
      re: solution.joints.re[jointOf[p]!]! - solution.joints.re[jointOf[q]!]!,
      im: solution.joints.im[jointOf[p]!]! - solution.joints.im[jointOf[q]!]!,
    };
    const { re: r, im: w } = magnetising;
    const [mx, my] =
      r === 0 && w === 0 ? [0, 0] : [(v.re * r + v.im * w) / (r * r + w * w), (v.im * r - v.re * w) / (r * r + w * w)];
    add(p, -x / ratio - mx, -y / ratio - my);
    add(q, x / ratio + mx, y / ratio + my);
  });
  return Math.hypot(re, im);
}
