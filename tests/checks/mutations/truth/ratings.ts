/** Amps against marks: contacts, breakers, fuses, cords, wires. The tables are written here a second time, from the same sources. */
import type { Contact } from "../../../../server/machine/machine.ts";
import type { Facts, Plain } from "./plain.ts";

/** NEC 240.6(A), from memory. */
const BREAKERS = [15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100];
/** IEC 60898-1, from memory. */
const BREAKERS_50_HZ = [6, 8, 10, 13, 16, 20, 25, 32, 40, 50, 63, 80, 100];
/** NEC Table 400.5(A)(1), three and two conductors in use, from memory. */
const CORDS: Readonly<Record<string, readonly [number, number]>> = {
  "18 AWG": [7, 10],
  "16 AWG": [10, 13],
  "14 AWG": [15, 18],
  "12 AWG": [20, 25],
  "10 AWG": [25, 30],
};
/** NEC 310.16 at 60 C, and 240.4(D): amps of fixed wiring, which are its largest breaker as well. */
const WIRING: Readonly<Record<string, number>> = { "14 AWG": 15, "12 AWG": 20, "10 AWG": 30 };
/** Free air at 60, 75 and 90 C: Lessons in Electric Circuits, Vol. V, chapter 3; areas in mm2 of 18 to 8 AWG. */
const LEADS: readonly (readonly [area: number, at60: number, at75: number, at90: number])[] = [
  [8.37, 60, 70, 80],
  [5.26, 40, 50, 55],
  [3.31, 30, 35, 40],
  [2.08, 25, 30, 35],
  [1.31, 18, 18, 24],
  [0.823, 13, 13, 18],
];
const HEAVY = ["heater", "igniter", "winding", "fan", "pump"];
const NEXT_TO_NOTHING = ["resistor", "capacitor", "sensor", "diode", "bias-heater", "start-winding", "neon"];

export function ratings(plain: Plain, facts: Facts): void {
  const { machine, engine } = plain;
  for (const contact of machine.contacts) {
    if (contact.ratings.length > 0) overRating(plain, contact, facts);
    else if (!["fuse", "breaker", "built-in-protector"].includes(contact.role)) {
      const switches = machine.loads.some(
        ({ id, kind }) => HEAVY.includes(kind) && plain.rests.some((rest) => plain.inSeries(rest, contact.id, id)),
      );
      if (switches) facts.add("rating-not-written");
    }
  }
  const steady = engine.not(
    machine.controls
      .filter(({ role }) => role === "motor")
      .map(({ id, positions }) =>
        engine.where([[{ control: id, positions: Uint8Array.from(positions, (_, i) => +(i === 1)) }]]),
      )
      .reduce((a, b) => engine.or(a, b), engine.none()),
  );
  const { supply } = machine;
  const legAmps = supply.legs.flatMap(({ role }, leg) =>
    role === "live" ? [engine.extreme({ of: "leg-amps", leg }, steady).largest?.value ?? 0] : [],
  );
  const draws = Math.max(0, ...legAmps);
  const bound = (id: string, subject: string, amps: number, limit: number): void => {
    if (amps > limit * 1.0001) facts.add(id, subject);
    else if (amps > limit * 0.9999) facts.allow(id, subject);
  };
  const all = countsAll(plain);
  if (supply.stated && supply.breakerAmps !== undefined) {
    bound("breaker-size", "the supply", draws, supply.breakerAmps);
    const live = supply.legs.filter(({ role }) => role === "live").length;
    if (supply.breakerPoles !== undefined && supply.breakerPoles < live) facts.add("breaker-size", "the supply");
    const sizes = supply.frequency === 60 ? BREAKERS : BREAKERS_50_HZ;
    const most = draws <= 13.3 ? 20 : (sizes.find((size) => size >= draws * 1.5) ?? draws * 1.5);
    if (all && draws > 0 && supply.breakerAmps > most * 1.0001) facts.add("breaker-too-large", "the supply");
  }
  for (const fuse of machine.contacts) {
    const size = fuse.ratings.find(({ amps }) => amps !== undefined)?.amps;
    if (!["fuse", "breaker"].includes(fuse.role) || size === undefined) continue;
    const carries = engine.extreme({ of: "carries", contact: fuse.id }, steady).largest?.value ?? 0;
    if (supply.stated && supply.breakerAmps !== undefined) bound("breaker-size", fuse.name, carries, size);
    // Between one and a half times and the size above three times it depends on what is behind, and on its wires.
    if (carries > 0 && all && size > carries * 4) facts.add("breaker-too-large", fuse.name);
    if (carries > 0) facts.allow("breaker-too-large", fuse.name);
  }
  const three = supply.legs.filter(({ role }) => role !== "protective").length > 2;
  if (supply.cord) bound("cord-size", "", draws, CORDS[supply.cord.text]![three ? 0 : 1]);
  if (supply.wiring) {
    bound("cord-size", "", draws, WIRING[supply.wiring.text]!);
    if ((supply.breakerAmps ?? 0) > WIRING[supply.wiring.text]!) facts.add("cord-size");
  }
  for (const { id, area, insulation = 60, kind } of machine.wires) {
    const row = LEADS.find(([least]) => area !== undefined && area >= least * 0.99);
    if (kind !== "wire" || !row) continue;
    const { largest, exact } = engine.extreme({ of: "wire-amps", wire: id }, steady);
    if (!exact) facts.allow("wire-size");
    bound("wire-size", "", largest?.value ?? 0, insulation >= 90 ? row[3] : insulation >= 75 ? row[2] : row[1]);
  }
}

/** More amps than any point states, or more volts: nothing excuses that. Fewer than every point states: nothing is over. */
function overRating(plain: Plain, { id, name, ratings: points, role }: Contact, facts: Facts): void {
  const { legs } = plain.machine.supply;
  const between = legs.flatMap((a) => legs.map((b) => Math.hypot(a.volts.re - b.volts.re, a.volts.im - b.volts.im)));
  const carries = plain.largest({ of: "carries", contact: id });
  const makes = plain.largest({ of: "makes", contact: id });
  const breaks = plain.largest({ of: "breaks", contact: id });
  const opens = plain.largest({ of: "breaks-volts", contact: id });
  const limit = (of: (point: Contact["ratings"][number]) => number | undefined, pick: (...all: number[]) => number) =>
    pick(...points.map((point) => of(point) ?? point.amps ?? 0));
  const highest = Math.max(...points.map(({ volts }) => volts));
  const over = (pick: (...all: number[]) => number): boolean =>
    carries > limit(({ amps }) => amps, pick) * 1.0001 ||
    makes > limit((p) => p.makes, pick) * 1.0001 ||
    breaks > limit((p) => p.breaks, pick) * 1.0001;
  // Pilot duty is in volt-amperes: at lower volts than stated more amps, as far as 120 V.
  const pilot = points.some(({ duty }) => duty === "pilot");
  const used = Math.max(carries, makes, breaks) > 0;
  const fuse = role === "fuse" || role === "breaker";
  if (!pilot && !fuse && used && over(Math.max)) facts.add("contact-over-rating", name);
  if (!pilot && !fuse && motorsOver(plain, id, points, between)) facts.add("contact-over-rating", name);
  const working = between.filter((v) => v > 1 && v >= opens * 0.95).sort((a, b) => a - b)[0] ?? Math.max(...between);
  if (used && opens > 1 && working > highest * 1.01 && plain.machine.transformers.length === 0)
    facts.add("contact-over-rating", name);
  if (used && ((over(Math.min) && !fuse) || pilot || Math.max(...between, opens) > highest))
    facts.allow("contact-over-rating", name);
  // A fuse never opens in normal use: no volts below those between two legs stand across it when it blows.
  const least = Math.min(...between.filter((v) => v > 1));
  if (fuse && carries > 0 && highest < least * 0.99 && plain.machine.transformers.length === 0)
    facts.add("contact-over-rating", name);
}

/** What flows for motors alone, whatever else the contact switches, is more than any mark for motors states. */
function motorsOver(plain: Plain, contact: number, points: Contact["ratings"], between: readonly number[]): boolean {
  const marks = points.filter(({ duty, makes }) => (duty === "motor" || duty === "horsepower") && makes !== undefined);
  if (!marks.some(({ volts }) => volts >= Math.max(...between))) return false;
  const motors = ["winding", "start-winding", "fan", "pump", "drive", "capacitor"];
  const loads = plain.machine.loads.filter(({ kind }) => motors.includes(kind)).map(({ id }) => id);
  const most = (of: (mark: (typeof marks)[number]) => number | undefined): number =>
    Math.max(...marks.map((mark) => of(mark) ?? mark.amps ?? 0));
  return (
    plain.largest({ of: "makes", contact, loads }) > most(({ makes }) => makes) * 1.0001 ||
    plain.largest({ of: "breaks", contact, loads }) > most(({ breaks }) => breaks) * 1.0001
  );
}

/** Nothing is left out of what the machine draws: the page of breaker-too-large. */
function countsAll(plain: Plain): boolean {
  const { machine } = plain;
  const steady = plain.steady();
  if (plain.chatters() || machine.findings.some(({ gravity }) => gravity === "error")) return false;
  const byCurrent = new Set(machine.controls.flatMap(({ rule }) => (rule?.rule === "current" ? [rule.load] : [])));
  return machine.loads.every(
    ({ id, kind, known, alsoAt, through }) =>
      NEXT_TO_NOTHING.includes(kind) ||
      byCurrent.has(id) ||
      (known && steady.some((r) => (alsoAt.length + through.length > 0 ? plain.on(r, id) : plain.full(r, id)))),
  );
}
