/** Pilot duty rating codes of control contacts. NEMA ICS 5 / UL 508, AC table, read in a data sheet (A and B rows twice). */
import type { Sourced } from "./source.ts";

export interface PilotDuty {
  /** Current carried for ever, A. */
  readonly thermal: number;
  readonly makeVoltAmps: number;
  readonly breakVoltAmps: number;
}

export const pilotDuties: Sourced<Readonly<Record<string, PilotDuty>>> = {
  source: "NEMA ICS 5 / UL 508",
  mark: "secondary",
  value: {
    A: { thermal: 10, makeVoltAmps: 7200, breakVoltAmps: 720 },
    B: { thermal: 5, makeVoltAmps: 3600, breakVoltAmps: 360 },
    C: { thermal: 2.5, makeVoltAmps: 1800, breakVoltAmps: 180 },
    D: { thermal: 1, makeVoltAmps: 432, breakVoltAmps: 72 },
    E: { thermal: 0.5, makeVoltAmps: 216, breakVoltAmps: 36 },
  },
};

/** Largest voltages: the number behind the letter. D exists to 300 V, E to 150 V only. */
const largest: Readonly<Record<string, number>> = { A: 600, B: 600, C: 600, D: 300, E: 150 };

/** The tested points of `B300`: volts, thermal, making and breaking current, lowest voltage first. Undefined: no such code. */
export function pilotDutyPoints(
  code: string,
): readonly { volts: number; thermal: number; makes: number; breaks: number }[] | undefined {
  const match = /^([A-E])(150|300|600)$/.exec(code.toUpperCase());
  if (!match) return undefined;
  const letter = match[1]!;
  const limit = Number(match[2]);
  if (limit > largest[letter]!) return undefined;
  const duty = pilotDuties.value[letter]!;
  return [120, 240, 480, 600]
    .filter((volts) => volts <= limit)
    .map((volts) => ({
      volts,
      thermal: duty.thermal,
      makes: duty.makeVoltAmps / volts,
      breaks: duty.breakVoltAmps / volts,
    }));
}

export const pilotDutyCodes: readonly string[] = Object.keys(largest).flatMap((letter) =>
  [150, 300, 600].filter((volts) => volts <= largest[letter]!).map((volts) => letter + volts),
);
