/** Which troubles cannot change a reading unplugged: opening what carries no current, joining what stands at one level. */
import type { Override, Solution } from "../circuit/circuit.ts";
import { caseTerminal } from "../circuit/network.ts";
import type { TerminalId } from "../machine/machine.ts";
import type { Trouble } from "./settle.ts";

/** Of the 1 V of the meter: less than this is no difference. */
const sameLevel = 1e-9;

/** One reading of the sound machine, with what is needed to see that a trouble leaves it as it is. */
export class SoundReading {
  private readonly carrying: Uint8Array;
  readonly ohms: number;

  constructor(private readonly solution: Solution) {
    const { circuit, contactAmps, loadAmps, legAmps } = solution;
    const amps = legAmps.re[0]!;
    this.ohms = Number.isNaN(amps) ? 0 : Math.abs(amps) > 1e-9 ? Math.abs(1 / amps) : Number.POSITIVE_INFINITY;
    this.carrying = new Uint8Array(circuit.jointCount);
    const mark = (a: number, b: number, flow: number): void => {
      if (Math.abs(flow) < 1e-12) return; // not a number: on the way of a short, and marked
      this.carrying[a] = 1;
      this.carrying[b] = 1;
    };
    circuit.contactA.forEach((a, i) => {
      mark(a, circuit.contactB[i]!, contactAmps.re[i]!);
    });
    circuit.loadA.forEach((a, i) => {
      mark(a, circuit.loadB[i]!, loadAmps.re[i]!);
    });
    mark(circuit.legJoint[0]!, circuit.legJoint[1]!, amps);
  }

  /** True when the trouble is sure to leave the reading as it is. */
  leaves({ overrides, held }: Trouble): boolean {
    if (held && held.size > 0) return false;
    const { circuit, contactAmps, loadAmps } = this.solution;
    const { machine, jointOf } = circuit;
    if (overrides?.added?.length) return false;
    for (const [id, override] of overrides?.contacts ?? [])
      if (!this.edge(override, contactAmps.re[id]!, circuit.contactA[id]!, circuit.contactB[id]!)) return false;
    for (const [id, override] of overrides?.loads ?? []) {
      if (override.as === "to-case") {
        const metal = caseTerminal(machine, machine.loads[id]!.part);
        if (
          metal !== undefined &&
          this.fed(jointOf[metal]!) &&
          (this.fed(circuit.loadA[id]!) || this.fed(circuit.loadB[id]!))
        )
          return false;
      } else if (!this.edge(override, loadAmps.re[id]!, circuit.loadA[id]!, circuit.loadB[id]!)) return false;
    }
    for (const [id] of overrides?.wires ?? []) {
      const wire: { a: TerminalId } | undefined = machine.wires[id];
      if (wire && this.carrying[jointOf[wire.a]!] === 1) return false;
    }
    return true;
  }

  private edge(override: Override, amps: number, a: number, b: number): boolean {
    const still = Math.abs(amps) < 1e-12;
    if (override.as === "open") return still;
    if (override.as === "ohms") return still && this.level(a, b);
    return this.level(a, b) && (still || this.ohms === 0);
  }

  /** Joining the two cannot make a current: no volts between them, or one hangs on nothing else. */
  private level(a: number, b: number): boolean {
    if (a === b || this.ohms === 0 || !this.fed(a) || !this.fed(b)) return true;
    const { re } = this.solution.joints;
    return Math.abs(re[a]! - re[b]!) < sameLevel;
  }

  private fed(joint: number): boolean {
    return this.solution.fed[joint] === 1;
  }
}
