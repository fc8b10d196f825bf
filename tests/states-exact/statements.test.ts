/** Statements of stretches of states picked by hand, where some positions never occur together. */
import fc from "fast-check";
import { test } from "vitest";
import type { Control } from "../../server/machine/machine.ts";
import { drawing, MachineWriter, SCALES } from "../support/machine-writer.ts";
import { checkStatement, enginesOf, everyState } from "./compare.ts";

const LOCKED = drawing(120, 22, 0.62);
const TURNING = drawing(120, 5.2, 0.62);

/** A motor that hums in one position of its switch alone, where 6 ohm may be in the line; a door stops it. */
function humsInOnePosition() {
  const out = new MachineWriter();
  const motor = out.settled("DM", ["stopped", "hums", "running"], "motor");
  const speed = out.input("S", ["off", "full", "either", "also"]);
  const line = out.input("LINE", ["low", "full"]);
  const door = out.input("DOOR", ["shut", "open"]);
  const [low, fed, back] = [out.joint(), out.joint(), out.joint()];
  out.contact(out.L1, fed, out.in(speed, 1));
  out.contact(out.L1, low, out.in(speed, 2, 3));
  out.contact(low, fed, [[out.in(line, 1)], [out.in(speed, 3)]]);
  out.load("R", "resistor", low, fed, { re: 6, im: 0 });
  const main = out.load("main", "winding", fed, back, [LOCKED, LOCKED, TURNING], {
    ratedVolts: 120,
    control: motor,
    inrush: LOCKED,
    scale: SCALES.motor,
  });
  out.contact(back, out.N, out.in(door, 0));
  out.follows(motor, { rule: "motor", mains: [main], starts: [], leastTorque: 0 });
  return { out, machine: out.machine() };
}

test("a position that cannot be beside one does not keep another out that can", () => {
  const { machine } = humsInOnePosition();
  const { plain, exact } = enginesOf(machine);
  const states = everyState(machine);
  const literal = ({ id, positions }: Control) =>
    fc.uniqueArray(fc.nat(positions.length - 1), { minLength: 1 }).map((those) => ({
      control: id,
      positions: Uint8Array.from(positions, (_, at) => (those.includes(at) ? 1 : 0)),
    }));
  const term = fc.tuple(...machine.controls.filter(({ role }) => role !== "supply").map(literal));
  const of = (name: string, ...positions: number[]) => {
    const { id, positions: all } = machine.controls.find((control) => control.name === name)!;
    return { control: id, positions: Uint8Array.from(all, (_, at) => (positions.includes(at) ? 1 : 0)) };
  };
  const foundBySearch = [
    [of("DM", 0), of("S", 0, 1), of("LINE", 0), of("DOOR", 0)],
    [of("DM", 0), of("S", 2), of("LINE", 0)],
  ];
  fc.assert(
    fc.property(fc.array(term, { minLength: 1, maxLength: 5 }), (said) => {
      checkStatement(plain, exact, [plain.where(said), exact.where(said)], states);
    }),
    { numRuns: Math.ceil(Number(process.env.RUNS ?? 5000) / 10), examples: [[foundBySearch]] },
  );
});
