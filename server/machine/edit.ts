/**
 * One way to change a machine: proposals, faults, damaged variants of the tests and "what if" checks all use it. The result is
 * a new machine; ids of parts, terminals, contacts, loads and controls stay what they were, so findings before and after can
 * be compared. Only wires are numbered anew.
 */
import type {
  Complex,
  Condition,
  ContactId,
  Control,
  ControlId,
  Load,
  LoadId,
  Machine,
  PartId,
  RatingPoint,
  Supply,
  TerminalId,
  Wire,
  WireId,
} from "./machine.ts";

export type Edit =
  /** The part stays in the lists, but none of its contacts ever closes and none of its loads conducts. */
  | { readonly edit: "remove-part"; readonly part: PartId }
  /** A wire or jumper between two points; two joints shorted. */
  | {
      readonly edit: "join";
      readonly a: TerminalId;
      readonly b: TerminalId;
      readonly as?: "wire" | "jumper" | "bond" | "strap";
    }
  /** A wire or bond taken out. */
  | { readonly edit: "remove-wire"; readonly wire: WireId }
  /** One end of a wire taken from one point to another. */
  | { readonly edit: "move-wire-end"; readonly wire: WireId; readonly from: TerminalId; readonly to: TerminalId }
  /** All wires of the first point go to the second, and the other way round. */
  | { readonly edit: "swap-terminals"; readonly a: TerminalId; readonly b: TerminalId }
  /** A contact or load between other points (a switch moved to the neutral). */
  | { readonly edit: "move-contact"; readonly contact: ContactId; readonly a: TerminalId; readonly b: TerminalId }
  | { readonly edit: "move-load"; readonly load: LoadId; readonly a: TerminalId; readonly b: TerminalId }
  /** A contact's rule replaced: `[[]]` welded, `[]` never makes. */
  | { readonly edit: "change-contact"; readonly contact: ContactId; readonly closed: Condition }
  | { readonly edit: "change-rating"; readonly contact: ContactId; readonly ratings: readonly RatingPoint[] }
  /** A load's impedance in every position; undefined: open. */
  | { readonly edit: "change-load"; readonly load: LoadId; readonly impedance: Complex | undefined }
  /** What the plate or the writer states of a load. Its impedance stays: that is `change-load`. */
  | {
      readonly edit: "change-plate";
      readonly load: LoadId;
      readonly plate: Partial<Pick<Load, "ratedVolts" | "ratedWatts" | "alsoAt" | "through">>;
    }
  /** The size or insulation of a wire. */
  | { readonly edit: "change-wire"; readonly wire: WireId; readonly size: Partial<Pick<Wire, "area" | "insulation">> }
  /** Which single changes of an input are possible. */
  | { readonly edit: "change-control"; readonly control: ControlId; readonly moves: Partial<Pick<Control, "changes">> }
  /** The breaker, cord or fixed wiring ahead of the machine. */
  | {
      readonly edit: "change-supply";
      readonly supply: Partial<Pick<Supply, "breakerAmps" | "breakerPoles" | "cord" | "wiring" | "reversible">>;
    }
  /** A leg that is gone: its point is an ordinary connection from then on. */
  | { readonly edit: "lose-leg"; readonly terminal: TerminalId }
  | { readonly edit: "change-leg"; readonly terminal: TerminalId; readonly volts: Complex }
  /** Every leg's volts multiplied. */
  | { readonly edit: "scale-supply"; readonly by: number };

/** Applies the edits in order. Ids that do not exist are passed over. Never changes the machine given. */
export function edit(machine: Machine, edits: readonly Edit[]): Machine {
  return edits.reduce(applyEdit, machine);
}

function applyEdit(machine: Machine, change: Edit): Machine {
  switch (change.edit) {
    case "remove-part":
      return {
        ...machine,
        contacts: machine.contacts.map((c) => (c.part === change.part ? { ...c, closed: [] } : c)),
        loads: machine.loads.map((l) =>
          l.part === change.part ? { ...l, impedance: l.impedance.map(() => undefined) } : l,
        ),
        transformers: machine.transformers.filter(({ part }) => part !== change.part),
      };
    case "join":
      return withWires(machine, [
        ...machine.wires,
        { id: 0, a: change.a, b: change.b, kind: change.as ?? "jumper", place: machine.terminals[change.a]!.place },
      ]);
    case "remove-wire":
      return withWires(
        machine,
        machine.wires.filter(({ id }) => id !== change.wire),
      );
    case "move-wire-end":
      return withWires(
        machine,
        machine.wires.map((wire) => {
          if (wire.id !== change.wire) return wire;
          if (wire.a === change.from) return { ...wire, a: change.to };
          return wire.b === change.from ? { ...wire, b: change.to } : wire;
        }),
      );
    case "swap-terminals": {
      const swap = (t: TerminalId): TerminalId => (t === change.a ? change.b : t === change.b ? change.a : t);
      return withWires(
        machine,
        machine.wires.map((wire) => (wire.kind === "internal" ? wire : { ...wire, a: swap(wire.a), b: swap(wire.b) })),
      );
    }
    case "move-contact":
      return withContact(machine, change.contact, { a: change.a, b: change.b });
    case "change-contact":
      return withContact(machine, change.contact, { closed: change.closed });
    case "change-rating":
      return withContact(machine, change.contact, { ratings: change.ratings });
    case "move-load":
      return withLoad(machine, change.load, { a: change.a, b: change.b });
    case "change-load": {
      const { impedance } = machine.loads[change.load] ?? { impedance: [] };
      return withLoad(machine, change.load, { impedance: impedance.map(() => change.impedance), inrush: undefined });
    }
    case "change-plate":
      return withLoad(machine, change.load, change.plate);
    case "change-wire":
      return withWires(
        machine,
        machine.wires.map((wire) => (wire.id === change.wire ? { ...wire, ...change.size } : wire)),
      );
    case "change-control":
      return {
        ...machine,
        controls: machine.controls.map((one) => (one.id === change.control ? { ...one, ...change.moves } : one)),
      };
    case "change-supply":
      return { ...machine, supply: { ...machine.supply, ...change.supply } };
    case "lose-leg":
      return {
        ...machine,
        supply: { ...machine.supply, legs: machine.supply.legs.filter(({ terminal }) => terminal !== change.terminal) },
      };
    case "change-leg":
      return withLegs(machine, (leg) => (leg.terminal === change.terminal ? change.volts : leg.volts));
    case "scale-supply":
      return withLegs(machine, ({ volts }) => ({ re: volts.re * change.by, im: volts.im * change.by }));
  }
}

function withWires(machine: Machine, wires: readonly Wire[]): Machine {
  return { ...machine, wires: wires.map((wire, id) => ({ ...wire, id })) };
}

function withContact(machine: Machine, id: ContactId, change: Partial<Machine["contacts"][number]>): Machine {
  return {
    ...machine,
    contacts: machine.contacts.map((contact) => (contact.id === id ? { ...contact, ...change } : contact)),
  };
}

function withLoad(machine: Machine, id: LoadId, change: Partial<Machine["loads"][number]>): Machine {
  return { ...machine, loads: machine.loads.map((load) => (load.id === id ? { ...load, ...change } : load)) };
}

function withLegs(machine: Machine, volts: (leg: Machine["supply"]["legs"][number]) => Complex): Machine {
  return {
    ...machine,
    supply: { ...machine.supply, legs: machine.supply.legs.map((leg) => ({ ...leg, volts: volts(leg) })) },
  };
}
