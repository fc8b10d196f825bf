/** What a piece of the drawing is called, how it looks and what flows in it. */
import { formatQuantity } from "../../grammar/quantity.ts";
import type { Solution } from "../circuit/circuit.ts";
import type { Complex, Condition, Machine, MachineState } from "../machine/index.ts";
import type { Piece } from "./network-graph.ts";
import type { ContactLook, SymbolKind } from "./symbols.ts";

/** A state to show, and what was calculated for it. */
export interface LiveState {
  readonly state: MachineState;
  readonly solution: Solution;
}

/** Below this nothing is called carrying: less than a clamp shows. */
export const LEAST_AMPS = 1e-4;

export function nameOf(machine: Machine, { what }: Piece): string {
  if (what.of === "contact") return machine.contacts[what.contact]!.name;
  if (what.of === "load") return machine.loads[what.load]!.name;
  return `${machine.parts[machine.transformers[what.transformer]!.part]!.name} ${what.side}`;
}

/** Amps in a state; without one what the plate says of a load. */
export function amountOf(machine: Machine, { what }: Piece, live: LiveState | undefined): string {
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
export function flowOf(machine: Machine, { what, turned }: Piece, live: LiveState | undefined): Complex {
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

export function lookOf(
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
    const named = contact.role === "breaker" || contact.role === "level" ? contact.role : undefined;
    const actuator = thermal ? "thermal" : push ? "push" : named;
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
