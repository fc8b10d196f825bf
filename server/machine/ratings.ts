/** Ratings as stamped to sets of tested points. */
import { nearestNames, orList } from "../../grammar/suggest.ts";
import type { RatingNode, RatingPointNode } from "../../grammar/tree.ts";
import type { Draft } from "./draft.ts";
import type { RatingPoint } from "./machine.ts";
import { allValues } from "./properties.ts";
import { fullLoadAmps, lockedRotorRatio } from "./tables/motor-currents.ts";
import { pilotDutyCodes, pilotDutyPoints } from "./tables/pilot-duty.ts";

/** A switch must make six times its motor rating and break it once (IEC 61058-1, read in a maker's page). */
const motorMakes = 6;
const duties: ReadonlySet<string> = new Set(["general", "resistive", "motor", "inductive", "lamp"]);

/** All points of a rating. A point without volts holds at the supply's highest volts, and that is told. */
export function ratingPoints(draft: Draft, rating: RatingNode, file: string): RatingPoint[] {
  const points: RatingPoint[] = [];
  for (const node of rating.points) addPoint(draft, node, file, points);
  return points;
}

function highestVolts(draft: Draft): number {
  const live = draft.legs.filter((leg) => leg.role === "live");
  let highest = 0;
  for (const a of draft.legs) {
    for (const b of live) highest = Math.max(highest, Math.hypot(a.volts.re - b.volts.re, a.volts.im - b.volts.im));
  }
  return highest;
}

function addPoint(draft: Draft, node: RatingPointNode, file: string, points: RatingPoint[]): void {
  const place = draft.place(node, file);
  const text = file === draft.file ? draft.tree.text.slice(node.from, node.to) : plainText(node);
  if (node.pilotDuty) {
    const code = node.pilotDuty.text.toUpperCase();
    const known = pilotDutyPoints(code);
    if (!known) {
      const near = nearestNames(code, pilotDutyCodes);
      draft.find("unknown-pilot-duty", "error", draft.place(node.pilotDuty, file), {
        what: `${node.pilotDuty.text} is no pilot duty code of the NEMA ICS 5 / UL 508 table for alternating current.`,
        advice: near.length > 0 ? `Did you mean ${orList(near)}?` : "Write a code such as A300, B300 or C300.",
      });
      return;
    }
    for (const { volts, thermal, makes, breaks } of known) {
      points.push({ volts, duty: "pilot", amps: thermal, makes, breaks, pilotCode: code, place, text });
    }
    return;
  }
  const voltages = node.voltage ? allValues(node.voltage) : [highestVolts(draft)];
  if (!node.voltage && (node.current || node.motorCurrent || node.horsepower)) {
    draft.find("rating-without-volts", "warning", place, {
      what: `The rating ${text} names no voltage.`,
      why: "A contact breaks the same current far less easily at a higher voltage, so amps alone say little.",
      advice: "Write the voltage stamped beside it, as in 15 A 125 V.",
    });
  }
  const stated = node.duty && duties.has(node.duty.text) ? (node.duty.text as RatingPoint["duty"]) : undefined;
  const bracketed = node.motorCurrent ?? node.lampCurrent ?? node.inductiveCurrent;
  for (const volts of voltages) {
    if (node.current) {
      const makes = node.peakCurrent?.value;
      const duty = stated ?? (bracketed ? "resistive" : "general");
      points.push({ volts, duty, amps: node.current.value, makes, place, text });
    }
    if (node.motorCurrent) {
      const amps = node.motorCurrent.value;
      points.push({ volts, duty: "motor", amps, makes: amps * motorMakes, breaks: amps, place, text });
    }
    if (node.lampCurrent) points.push({ volts, duty: "lamp", makes: node.lampCurrent.value, place, text });
    if (node.inductiveCurrent)
      points.push({ volts, duty: "inductive", amps: node.inductiveCurrent.value, place, text });
    if (node.horsepower) addHorsepower(node.horsepower.value / 745.699872, volts, place, text, points);
  }
}

/** A horsepower rating covers running at the table's full-load current, and making and breaking the locked-rotor current. */
function addHorsepower(
  horsepower: number,
  volts: number,
  place: RatingPoint["place"],
  text: string,
  points: RatingPoint[],
): void {
  const amps = fullLoadAmps(horsepower, volts);
  const locked = amps === undefined ? undefined : amps * lockedRotorRatio.value;
  points.push({ volts, duty: "horsepower", horsepower, amps, makes: locked, breaks: locked, place, text });
}

function plainText(node: RatingPointNode): string {
  return [node.current?.text, node.horsepower?.text, node.voltage?.text].filter((part) => part !== undefined).join(" ");
}
