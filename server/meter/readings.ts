/** Readings as tables of plain text: between two points, of a part, of a state. */

import type { Circuit } from "../circuit/circuit.ts";
import { conditionHolds } from "../circuit/condition.ts";
import { describeState } from "../machine/describe.ts";
import type { LoadId, Machine, MachineState, PartId, TerminalId } from "../machine/machine.ts";
import { expectedOhms, expectedVolts } from "./expected.ts";
import { isolate } from "./isolate.ts";
import { type PartTest, partTests } from "./part-tests.ts";
import { unplugged } from "./settle.ts";
import { ohmsExpectationText, voltsBandText, voltsExpectationTexts } from "./words.ts";

export interface ReadingLine {
  readonly name: string;
  readonly text: string;
}

/** Everything a meter shows between two points: unplugged as it stands, with a lead off, and live in the state given. */
export function readingsBetween(circuit: Circuit, state: MachineState, a: TerminalId, b: TerminalId): ReadingLine[] {
  const { machine } = circuit;
  const dead = unplugged(circuit, state);
  const here = expectedOhms(circuit, dead, a, b);
  const own = machine.loads.find((load) => (load.a === a && load.b === b) || (load.a === b && load.b === a));
  const lines: ReadingLine[] = [
    {
      name: "unplugged",
      text:
        ohmsExpectationText(machine, here) +
        (here.known && here.band.expected === Number.POSITIVE_INFINITY
          ? ""
          : throughWords(machine, here.through, own?.id)),
    },
  ];
  const { lift, reading } = isolate(circuit, dead, a, b, own?.id);
  if (lift.length > 0)
    lines.push({
      name: `unplugged, ${lift.map((each) => machine.terminals[each]!.fullName).join(" and ")} lifted`,
      text: ohmsExpectationText(machine, reading()),
    });
  if (state[machine.supply.control] === 0)
    voltsExpectationTexts(expectedVolts(circuit, state, a, b)).forEach((text, i) => {
      lines.push({ name: i === 0 ? "live" : "", text });
    });
  return lines;
}

function throughWords(machine: Machine, through: readonly LoadId[], own: LoadId | undefined): string {
  const others = through.filter((load) => load !== own).map((load) => machine.loads[load]!.name);
  if (others.length === 0) return "";
  const shown =
    others.length > 4 ? `${others.slice(0, 3).join(", ")} and ${others.length - 3} more` : others.join(", ");
  return own === undefined ? `, by way of ${shown}` : `, ${shown} beside it`;
}

/** Rows of a test of one part, name before text. */
export function testLines(machine: Machine, test: PartTest): ReadingLine[] {
  const name = (terminal: TerminalId) => machine.terminals[terminal]!.fullName;
  return [
    {
      name: "between",
      text: `${name(test.from)} and ${name(test.to)}${test.setting === "" ? "" : `, with ${test.setting}`}`,
    },
    ...(test.lift.length > 0 ? [{ name: "take off", text: `the lead at ${test.lift.map(name).join(" and ")}` }] : []),
    { name: "good", text: test.good },
    { name: "bad", text: `${test.open}; ${test.shorted}` },
    ...(test.toCase === undefined ? [] : [{ name: "to case", text: test.toCase }]),
    ...(test.lift.length > 0 ? [{ name: "leads on", text: test.inPlace }] : []),
    ...test.remarks.map((text) => ({ name: "mind", text })),
  ];
}

export function partReadings(
  circuit: Circuit,
  part: PartId,
): { readonly name: string; readonly lines: ReadingLine[] }[] {
  return partTests(circuit, part).map((test) => ({ name: test.name, lines: testLines(circuit.machine, test) }));
}

export interface StateReadings {
  readonly state: string;
  /** Volts across each load, and each contact with what it should show. */
  readonly rows: readonly {
    readonly name: string;
    readonly from: string;
    readonly to: string;
    readonly reads: string;
  }[];
}

/** What a live meter shows across every load and every contact in one state. */
export function stateReadings(circuit: Circuit, state: MachineState): StateReadings {
  const { machine } = circuit;
  const name = (terminal: TerminalId) => machine.terminals[terminal]!.fullName;
  const across = (a: TerminalId, b: TerminalId): string => {
    const { ordinary, floating, shorted } = expectedVolts(circuit, state, a, b);
    if (shorted) return "breaker opens";
    return voltsBandText(ordinary) + (floating && ordinary.expected < 1 ? ", or stray volts" : "");
  };
  return {
    state: describeState(machine, state),
    rows: [
      ...machine.loads.map((load) => ({
        name: load.name,
        from: name(load.a),
        to: name(load.b),
        reads: across(load.a, load.b),
      })),
      ...machine.contacts.map((contact) => ({
        name: contact.name,
        from: name(contact.a),
        to: name(contact.b),
        reads: conditionHolds(contact.closed, state) ? "closed: below 0.2 V" : `open: ${across(contact.a, contact.b)}`,
      })),
    ],
  };
}
