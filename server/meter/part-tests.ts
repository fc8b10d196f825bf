/** How to test a part unplugged: between which terminals, how it must stand, what lead comes off, what good and bad ones read. */

import { formatQuantity } from "../../grammar/quantity.ts";
import type { Circuit } from "../circuit/circuit.ts";
import { conditionHolds } from "../circuit/condition.ts";
import { caseTerminal } from "../circuit/network.ts";
import { describePosition, restState } from "../machine/describe.ts";
import type {
  Contact,
  ContactId,
  Load,
  LoadId,
  Machine,
  MachineState,
  PartId,
  TerminalId,
} from "../machine/machine.ts";
import { expectedOhms } from "./expected.ts";
import { isolate } from "./isolate.ts";
import { partOhms } from "./part-ohms.ts";
import { unplugged } from "./settle.ts";
import { closedOhms, closedVolts, insulationOhms } from "./tables/meters.ts";
import { ohmsBandText, ohmsExpectationText, ohmsText } from "./words.ts";

export interface PartTest {
  /** `HT`, `TM.heat`. */
  readonly name: string;
  readonly load?: LoadId;
  readonly contact?: ContactId;
  readonly from: TerminalId;
  readonly to: TerminalId;
  /** How the controls must stand, as in the language; empty: as it stands at rest. */
  readonly setting: string;
  /** Terminals whose leads come off first; empty: it can be read in place. */
  readonly lift: readonly TerminalId[];
  /** What the meter shows with every lead on. */
  readonly inPlace: string;
  readonly good: string;
  /** Of a contact: what it reads closed, and how the controls must stand for it and for open; undefined where it never stands so. */
  readonly switched?: {
    readonly closed: string;
    readonly closedWith: string | undefined;
    readonly openWith: string | undefined;
  };
  readonly open: string;
  readonly shorted: string;
  /** From each terminal to bare metal; left out where there is none. */
  readonly toCase?: string;
  readonly remarks: readonly string[];
}

export function partTests(circuit: Circuit, part: PartId): PartTest[] {
  const { loads, contacts } = circuit.machine.parts[part]!;
  return [...loads.map((load) => loadTest(circuit, load)), ...contacts.map((contact) => contactTest(circuit, contact))];
}

const benchStates = new WeakMap<Circuit, MachineState>();

/** Nothing touched, cold, unplugged. */
export function benchState(circuit: Circuit): MachineState {
  let state = benchStates.get(circuit);
  if (!state) benchStates.set(circuit, (state = unplugged(circuit, restState(circuit.machine))));
  return state;
}

export function loadTest(circuit: Circuit, id: LoadId): PartTest {
  const { machine } = circuit;
  const load = machine.loads[id]!;
  const state = benchState(circuit);
  const { lift } = isolate(circuit, state, load.a, load.b, id);
  const ohms = partOhms(machine, load);
  const name = { name: load.name, load: id, from: load.a, to: load.b, setting: "", lift };
  const good = ohms ? ohmsBandText(ohms) : "not known: its resistance is not written";
  const open = ohms?.expected === Number.POSITIVE_INFINITY ? "open too: the ohms range does not tell" : "open";
  const remarks = [...loadRemarks(load), ...(ohms && Number.isFinite(ohms.expected) ? [`${ohms.from}.`] : [])];
  if (ohms?.warm !== undefined && ohms.warm > ohms.high)
    remarks.push(`Up to ${ohmsText(ohms.warm)} while warm from work (copper).`);
  return {
    ...name,
    // Three readings more than the rest takes, and of use only where other paths deceive.
    get inPlace() {
      return ohmsExpectationText(machine, expectedOhms(circuit, state, load.a, load.b));
    },
    good,
    open,
    shorted:
      load.kind === "diode" ? "0 ohm both ways" : `below ${closedOhms.value} ohm, or far below what a good one reads`,
    ...toCase(machine, load.part),
    remarks: remarks.map((line) => line.charAt(0).toUpperCase() + line.slice(1)),
  };
}

function toCase(machine: Machine, part: PartId): Pick<PartTest, "toCase"> {
  const metal = caseTerminal(machine, part);
  if (metal === undefined) return {};
  return {
    toCase: `to ${machine.terminals[metal]!.fullName} open; less than ${formatQuantity(insulationOhms.value, "resistance")} is a fault`,
  };
}

/** What an ohmmeter cannot tell of a part, said before somebody trusts it. */
function loadRemarks(load: Load): string[] {
  switch (load.kind) {
    case "capacitor": {
      const bleeds = load.meterOhms ? "; then its bleed resistor" : "";
      const range =
        load.capacitance === undefined
          ? ""
          : ` On the capacitance range ${(load.capacitance * 1e6).toPrecision(3)} uF, some per cent off at most.`;
      return [
        `discharge it through some kilohms first. On ohms a good one starts low and climbs${bleeds}; one that stays low is shorted, one that never moves is open.${range}`,
      ];
    }
    case "diode":
      return ["use the diode range: 0.4 to 0.7 V one way, open the other; ohms tell little."];
    case "neon":
      return ["open on any ohmmeter, good or bad: it strikes only at its own volts."];
    case "lamp":
      return ["a cold filament reads a tenth or less of volts squared over watts."];
    case "board":
      return ["a board's own supply cannot be judged by ohms; look for its output and its fuse."];
    case "ptc":
      return ["read it cold; hot it is some kilohms and more."];
    case "igniter":
      return ["cold it reads far more than volts over amps; a reading alone does not show that it gets hot enough."];
    default:
      return [];
  }
}

/** `brief`: without what other paths would show, for a quick look. */
export function contactTest(circuit: Circuit, id: ContactId, brief = false): PartTest {
  const { machine } = circuit;
  const contact = machine.contacts[id]!;
  const closedAt = standing(circuit, contact, true);
  const openAt = standing(circuit, contact, false);
  const state = closedAt ?? benchState(circuit);
  const { a, b } = contact;
  const remarks: string[] = [];
  if (!closedAt)
    remarks.push(
      "It never closes unplugged: what closes it needs power. Test it live, across its terminals under load.",
    );
  // A closed contact shorts whatever lies beside it: only open does a parallel path deceive.
  const lift = openAt ? isolate(circuit, openAt, a, b, undefined).lift : [];
  if (openAt && lift.length > 0 && !brief)
    remarks.push(
      `With every lead on, ${settingWords(machine, openAt) || "at rest"}, the meter would read ${ohmsExpectationText(machine, expectedOhms(circuit, openAt, a, b))} by other paths.`,
    );
  if (contact.ohms === 0)
    remarks.push(
      `Live and loaded it drops less than ${closedVolts.value} V; more is a bad contact that ohms may not show.`,
    );
  if (contact.leaks)
    remarks.push(
      "A triac reads open both ways, good or not switched; unloaded, its leakage shows full volts on an ordinary meter.",
    );
  if (contact.role === "link") remarks.push("Once open it stays open. Find out why before a new one goes in.");
  return {
    name: contact.name,
    contact: id,
    from: a,
    to: b,
    setting: closedAt ? settingWords(machine, closedAt) : "",
    lift,
    get inPlace() {
      return closedAt
        ? `closed: below ${closedOhms.value} ohm`
        : ohmsExpectationText(machine, expectedOhms(circuit, state, a, b));
    },
    good: [
      closedAt ? `closed: below ${closedOhms.value} ohm` : "",
      openAt ? `${settingWords(machine, openAt) || "at rest"}: open` : "",
    ]
      .filter((text) => text !== "")
      .join("; "),
    switched: {
      closed: `below ${closedOhms.value} ohm`,
      closedWith: closedAt && settingWords(machine, closedAt),
      openWith: openAt && settingWords(machine, openAt),
    },
    open: "open where it should be closed",
    shorted: "0 ohm where it should be open (welded)",
    ...toCase(machine, contact.part),
    remarks,
  };
}

/** An unplugged state in which the contact is closed (or open), as near to rest as can be; undefined when there is none. */
export function standing(
  circuit: Circuit,
  contact: Contact,
  closed: boolean,
  from?: MachineState,
): MachineState | undefined {
  const { machine } = circuit;
  const base = from ? unplugged(circuit, from) : benchState(circuit);
  if (conditionHolds(contact.closed, base) === closed) return base;
  const tries: MachineState[] = [];
  if (closed) {
    for (const clause of contact.closed) {
      const state = Uint8Array.from(base);
      for (const { control, positions } of clause)
        if (positions[state[control]!] !== 1) state[control] = Math.max(0, positions.indexOf(1));
      tries.push(state);
    }
  } else {
    const controls = new Set(contact.closed.flatMap((clause) => clause.map(({ control }) => control)));
    for (const control of controls)
      machine.controls[control]!.positions.forEach((_, position) => {
        const state = Uint8Array.from(base);
        state[control] = position;
        tries.push(state);
      });
  }
  for (const state of tries) {
    if (state[machine.supply.control] !== base[machine.supply.control]) continue;
    const rest = unplugged(circuit, state);
    if (conditionHolds(contact.closed, rest) === closed) return rest;
  }
  return undefined;
}

/** Controls that do not rest, in the words of the language; the unplugged supply is left out. */
export function settingWords(machine: Machine, state: MachineState): string {
  return machine.controls
    .filter(({ id, rest, settled }) => !settled && id !== machine.supply.control && state[id] !== rest)
    .map((control) => `${control.name} ${describePosition(control, state[control.id]!)}`)
    .join(", ");
}
