/** Findings that a rewire would mend: a proposal to begin with, which changes nothing until a person has read what it would change. */
import { formatQuantity } from "../../grammar/quantity.ts";
import type { Finding, Fix } from "../base/finding.ts";
import { breakOf, lineEnd } from "../base/lines.ts";
import type { Place } from "../base/place.ts";
import { mostOf } from "../checks/unproved.ts";
import type { Contact, Load, Machine } from "../machine/machine.ts";
import type { FileView } from "./view.ts";

export function proposalStarts(view: FileView, machine: Machine, { id, place }: Finding): readonly Fix[] {
  if (id === "load-without-protector") return missingProtector(view, machine, place);
  return id === "contact-over-rating" ? relayFor(view, machine, place) : [];
}

/** At the end of the machine. */
function asProposal(view: FileView, machine: Machine, label: string, edits: readonly string[]): Fix {
  const at = Math.min(view.text.length, machine.place.to);
  const before = view.text.slice(0, at).trimEnd().length;
  const end = lineEnd(view.text, before);
  const line = breakOf(view.text);
  const gap = view.text.slice(before, at);
  const lines = ["", `proposal "${label}" {`, ...edits, "}"];
  return {
    title: `Try ${label} as a proposal`,
    safe: false,
    edits: [
      {
        place: { file: view.file, from: end, to: end },
        text: `${line}${lines.join(line)}${gap === "" ? line : ""}`,
      },
    ],
  };
}

// ------------------------------------------------------------ a load that nothing protects

/** Stamped sizes of limits and overloads in the trade, A; common practice, no published source. */
const stamps = [3, 5, 10, 15, 20, 25, 30, 40, 60];

/** A proposal changes nothing: the person tries it, sets the temperatures by the maker's sheet, and fits the part or does not. */
function missingProtector(view: FileView, machine: Machine, place: Place): Fix[] {
  const load = machine.loads.find(({ namePlace }) => namePlace.from === place.from && namePlace.file === place.file);
  const wired = load && endToCut(machine, load);
  if (!load || !wired) return [];
  const motor = load.kind === "winding" || load.kind === "start-winding" || load.kind === "fan" || load.kind === "pump";
  const kind = motor ? "overload" : "limit";
  const name = freeName(machine, motor ? "OL-new" : "HL-new");
  const heat = motor ? "opens 110 C closes 61 C" : "opens 121 C closes 93 C self-resetting";
  const label = `a ${kind} for ${load.name}`;
  const { end, wires } = wired;
  const lines = [
    `  # The temperatures are placeholders: take them, and the place it sits at, from the maker's sheet.`,
    `  add ${kind} ${name} ${heat} senses ${machine.parts[load.part]!.loads.length > 1 ? load.name : machine.parts[load.part]!.name} ${ratingFor(machine, load)}`,
    ...wires.map(([a, b]) => `  move wire ${a} to ${b} end ${end} to ${name}.1`),
    `  wire ${name}.2 to ${end}`,
  ];
  return [asProposal(view, machine, label, lines)];
}

/** The terminal of the load that has written wires, and these: towards a live leg for choice, the fewest otherwise. */
function endToCut(machine: Machine, load: Load) {
  const names = (terminal: number) => machine.terminals[terminal]!.fullName;
  const ends = [load.a, load.b].flatMap((terminal) => {
    const wires = machine.wires.filter((wire) => wire.kind === "wire" && (wire.a === terminal || wire.b === terminal));
    const pairs = wires.map(({ a, b }): [string, string] => [names(a), names(b)]);
    return wires.length > 0 ? [{ end: names(terminal), wires: pairs }] : [];
  });
  return ends.sort((a, b) => a.wires.length - b.wires.length)[0];
}

function ratingFor(machine: Machine, load: Load): string {
  const most = Math.max(...machine.supply.legs.map(({ volts }) => Math.hypot(volts.re, volts.im)));
  const volts = load.ratedVolts ?? most;
  const amps = load.ratedAmps ?? (load.ratedWatts !== undefined && volts > 0 ? load.ratedWatts / volts : 0);
  const stamp = stamps.find((each) => each >= amps * 1.1) ?? Math.ceil(amps * 1.1);
  return `rated ${stamp} A ${formatQuantity(volts <= 125 ? 125 : volts <= 250 ? 250 : Math.ceil(volts), "voltage")}`;
}

function freeName(machine: Machine, wanted: string): string {
  const taken = new Set([...machine.parts.map(({ name }) => name), ...machine.supply.legs.map(({ name }) => name)]);
  let name = wanted;
  for (let number = 2; taken.has(name); number++) name = `${wanted}-${number}`;
  return name;
}

// ------------------------------------------------------------ a contact that switches too much

/** Horsepower stamped on contacts of the trade; common practice, no published source. */
const horsepowers: readonly (readonly [number, string])[] = [
  [1 / 4, "1/4"],
  [1 / 3, "1/3"],
  [1 / 2, "1/2"],
  [3 / 4, "3/4"],
  [1, "1"],
  [3 / 2, "1.5"],
  [2, "2"],
];

/** A relay takes over what the contact switched; the contact feeds its coil. */
function relayFor(view: FileView, machine: Machine, place: Place): Fix[] {
  const contact = machine.contacts.find(
    ({ namePlace }) => namePlace.from === place.from && namePlace.file === place.file,
  );
  const { live, neutral } = lineOf(machine);
  if (!contact || !live || !neutral) return [];
  const names = (terminal: number) => machine.terminals[terminal]!.fullName;
  const wiresAt = (terminal: number) =>
    machine.wires.filter(({ kind, a, b }) => kind === "wire" && (a === terminal || b === terminal));
  const isLeg = (terminal: number) => machine.supply.legs.some((leg) => leg.terminal === terminal);
  const fed = (terminal: number) => wiresAt(terminal).some(({ a, b }) => isLeg(a) || isLeg(b));
  const [from, to] = fed(contact.b) && !fed(contact.a) ? [contact.b, contact.a] : [contact.a, contact.b];
  const wires = wiresAt(to);
  if (wires.length === 0) return [];
  const relay = freeName(machine, "K-new");
  const volts = Math.round(Math.hypot(live.volts.re, live.volts.im));
  const label = `a relay for ${contact.name}`;
  return [
    asProposal(view, machine, label, [
      "  # Coil and rating are placeholders: take those of the relay that is there.",
      `  add relay ${relay} {`,
      `    coil A1 to A2  ${volts} V draws ${volts < 150 ? "40 mA pf 0.5 resistance 1.2 kohm" : "20 mA pf 0.5 resistance 5 kohm"}`,
      `    contact 1 to 2 while energised  ${relayRating(view, machine, contact)}`,
      "  }",
      ...wires.map(({ a, b }) => `  move wire ${names(a)} to ${names(b)} end ${names(to)} to ${relay}.2`),
      `  wire ${names(from)} to ${relay}.1`,
      `  wire ${names(to)} to ${relay}.A1`,
      `  wire ${relay}.A2 to ${names(neutral.terminal)}`,
    ]),
  ];
}

function lineOf({ supply: { legs } }: Machine) {
  return { live: legs.find(({ role }) => role === "live"), neutral: legs.find(({ role }) => role === "neutral") };
}

/** The next larger stamp for the most that flows, and the horsepower of the largest motor where there is one. */
function relayRating({ machines }: FileView, machine: Machine, { id, ratings }: Contact): string {
  const engine = machines.find((each) => each.machine === machine)?.engine;
  const most = (of: "carries" | "makes") => {
    const found = engine?.extreme({ of, contact: id }, engine.all());
    if (!found) return 0;
    // What may flow, where that is known.
    return Number.isFinite(mostOf(found)) ? mostOf(found) : (found.largest?.value ?? 0);
  };
  const horsepower = Math.max(0, ...machine.parts.map((part) => part.horsepower ?? 0));
  const motor = horsepowers.find(([size]) => size >= horsepower - 1e-9);
  const amps = horsepower > 0 && motor ? most("carries") : Math.max(most("carries"), most("makes"));
  const stamp = stamps.find((each) => each >= amps * 1.1) ?? Math.ceil(amps * 1.1);
  const volts = Math.max(
    125,
    ...ratings.map((each) => each.volts),
    ...machine.supply.legs.map((leg) => Math.hypot(leg.volts.re, leg.volts.im)),
  );
  const at = formatQuantity(volts <= 125 ? 125 : volts <= 250 ? 250 : Math.ceil(volts), "voltage");
  return `rated ${horsepower > 0 && motor ? `${motor[1]} hp ${at} or ` : ""}${stamp} A ${at}`;
}
