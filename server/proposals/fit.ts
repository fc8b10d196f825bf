/**
 * Does the replacement fit? The old part against the new one, contact by contact: terminals, when it is closed, and whether its rating
 * covers what THIS machine makes, breaks and carries; the motor of a timer, its steps, plate values. Only what differs is listed.
 */
import { formatQuantity } from "../../grammar/quantity.ts";
import type { ProposalStatement } from "../../grammar/tree.ts";
import { type FedLoads, fedBy, startingMoment } from "../checks/fed-by.ts";
import { type Act, isOver, judge, lowestLimit } from "../checks/rating.ts";
import { kindOfWhole, nearestToLimit } from "../checks/shares.ts";
import { isProved, largestInWords, mostOf, rangeInWords, upToInWords } from "../checks/unproved.ts";
import { amps, volts, watts } from "../checks/words.ts";
import { flowThrough, workingVolts } from "../checks/working-volts.ts";
import { describeCondition } from "../machine/index.ts";
import type { Condition, Contact, Load, Machine, Part } from "../machine/machine.ts";
import type { Engine, Extreme, Extremes } from "../states/engine.ts";
import { loosenedContact } from "./loosened.ts";

export interface FitLine {
  readonly about: string;
  readonly text: string;
  /** `wrong`: a person must do something about it; `other`: it differs and may still serve; `right`: looked at and the same. */
  readonly fits: "wrong" | "other" | "right";
}

export interface Fit {
  readonly part: string;
  readonly by: string;
  readonly lines: readonly FitLine[];
}

/** Less than a clamp shows, A. */
const LEAST_AMPS = 1e-4;
const SAME = 0.02;

/** One for each `replace` of the proposal whose part is in both machines. */
export function fitsOf(
  base: Engine,
  changed: Machine,
  statement: ProposalStatement,
  renames: ReadonlyMap<string, string>,
): Fit[] {
  const { machine } = base.circuit;
  return statement.edits.flatMap((edit): Fit[] => {
    if (edit.edit !== "replace" || !edit.part) return [];
    const name = edit.part.text;
    const old = machine.parts.find((part) => part.name === name);
    const now = changed.parts.find((part) => part.name === (renames.get(name) ?? name));
    if (!old || !now) return [];
    const by = edit.byType?.text ?? now.label ?? now.kind;
    return [{ part: name, by, lines: linesOf(base, changed, old, now) }];
  });
}

function linesOf(base: Engine, changed: Machine, old: Part, now: Part): FitLine[] {
  const { machine } = base.circuit;
  const lines: FitLine[] = [...stepLines(machine, changed, old, now)];
  const news = now.contacts.map((id) => changed.contacts[id]!);
  const used = new Set<Contact>();
  let alike = 0;
  for (const id of old.contacts) {
    const contact = machine.contacts[id]!;
    const ends = endsOf(machine, contact);
    const other =
      news.find((one) => one.name === contact.name && !used.has(one)) ??
      news.find((one) => endsOf(changed, one) === ends && !used.has(one));
    if (!other) {
      const most = extremes(base, contact, "carries");
      const matters = mostOf(most) > LEAST_AMPS;
      lines.push({
        about: contact.name,
        text: `has no counterpart (${ends})${matters ? `; here it carries ${isProved(most) ? upToInWords(most, amps) : rangeInWords(most, amps)}` : "; no current flows through it here"}.`,
        fits: matters ? "wrong" : "other",
      });
      continue;
    }
    used.add(other);
    const found = contactLines(base, changed, contact, other, ends);
    if (found.length === 0) alike++;
    lines.push(...found);
  }
  for (const extra of news)
    if (!used.has(extra))
      lines.push({
        about: extra.name,
        text: `is more than the old part has (${endsOf(changed, extra)}); leave it unwired.`,
        fits: "other",
      });
  lines.push(...loadLines(machine, changed, old, now));
  if (alike > 0)
    lines.push({
      about: alike === 1 ? "1 contact" : `${alike} contacts`,
      text: "stand at the same terminals, close in the same positions, and are rated for what this machine asks of them.",
      fits: "right",
    });
  const order = { wrong: 0, other: 1, right: 2 } as const;
  return lines.sort((a, b) => order[a.fits] - order[b.fits]);
}

function endsOf(machine: Machine, { a, b }: Contact): string {
  return [a, b].map((id) => machine.terminals[id]!.name).join(" to ");
}

function contactLines(base: Engine, changed: Machine, old: Contact, now: Contact, ends: string): FitLine[] {
  const { machine } = base.circuit;
  const lines: FitLine[] = [];
  const others = endsOf(changed, now);
  if (others !== ends)
    lines.push({
      about: old.name,
      text: `is between ${others} on the new part, ${ends} on the old one: move its wires.`,
      fits: "wrong",
    });
  const [was, is] = [positionsOf(machine, old.closed), positionsOf(changed, now.closed)];
  if (was !== is)
    lines.push({ about: old.name, text: `is closed when ${is}; the old one when ${was}.`, fits: "wrong" });
  for (const { text } of loosenedContact(old, changed, now))
    lines.push({ about: old.name, text: `protects less than the old one. ${text}`, fits: "wrong" });
  lines.push(...ratingLines(base, old, now));
  return lines;
}

/** Positions by their names, so that equal charts of other part names compare as equal. */
function positionsOf(machine: Machine, condition: Condition): string {
  return describeCondition(machine, condition);
}

const ACTS: readonly { readonly act: Act; readonly of: "carries" | "makes" | "breaks" }[] = [
  { act: "carry", of: "carries" },
  { act: "make", of: "makes" },
  { act: "break", of: "breaks" },
];

function ratingLines(base: Engine, old: Contact, now: Contact): FitLine[] {
  const all = ACTS.map(({ of }) => extremes(base, old, of));
  if (all.every((found) => mostOf(found) <= LEAST_AMPS)) return [];
  const [carried, made, broken] = all as [Extremes, Extremes, Extremes];
  const flows = [carried, made, broken].find(({ largest }) => largest !== undefined && largest.value > LEAST_AMPS);
  if (now.ratings.length === 0)
    return [
      {
        about: old.name,
        text: `has no rating written on the new part; here it ${ACTS[flows === broken ? 2 : 0]!.of} ${flows ? upToInWords(flows, amps) : rangeInWords(carried, amps)}.`,
        fits: "wrong",
      },
    ];
  // The contact as it will be: in its place, with the new marks.
  const contact: Contact = { ...old, ratings: now.ratings };
  const { found, possible } = workingVolts(
    base,
    contact,
    flowThrough(carried, made, broken, LEAST_AMPS),
    flows && isProved(flows),
    made.largest,
  );
  const lines: FitLine[] = [];
  const add = (text: string, fits: FitLine["fits"]): void => void lines.push({ about: old.name, text, fits });
  if (judge(now.ratings, found, "resistive", "carry", 0).verdict === "not-rated") {
    add(`is not rated at ${volts(found)} on the new part.`, "wrong");
    return lines;
  }
  for (const { act, of } of ACTS) {
    const whole = extremes(base, old, of);
    if (mostOf(whole) <= LEAST_AMPS) continue;
    const { largest } = whole;
    const nearest =
      largest &&
      nearestToLimit(
        base,
        contact,
        found,
        act,
        whole,
        kindOfWhole(now.ratings, found, act, fedAt(base, old, of, largest)),
      );
    if (nearest?.verdict.verdict === "over") {
      add(
        `${of} ${largestInWords(nearest.current, amps)} in this machine; the new part may ${act} ${nearest.verdict.limit.words}.`,
        "wrong",
      );
      continue;
    }
    const limit = lowestLimit(now.ratings, possible, act);
    if (limit && (possible.length > 1 || !isProved(whole)) && isOver(mostOf(whole), limit))
      add(
        `could not be judged to the end: it ${of} ${rangeInWords(whole, amps)} in this machine; the new part may ${act} ${limit.words}.`,
        "other",
      );
  }
  if (judge(now.ratings, possible.at(-1)!, "resistive", "carry", 0).verdict === "not-rated")
    add(`may work at ${volts(possible.at(-1)!)} here, and is not rated for that on the new part.`, "other");
  return lines;
}

function fedAt(base: Engine, { id }: Contact, of: "carries" | "makes" | "breaks", most: Extreme): FedLoads {
  if (of === "makes") return fedBy(base, id, most.state, startingMoment(base, most));
  // What is interrupted flowed in the state before.
  return fedBy(base, id, most.before ?? most.state);
}

function extremes(engine: Engine, { id }: Contact, of: "carries" | "makes" | "breaks"): Extremes {
  return engine.extreme({ of, contact: id }, engine.all());
}

function stepLines(machine: Machine, changed: Machine, old: Part, now: Part): FitLine[] {
  const steps = (from: Machine, part: Part) =>
    from.programs.filter((one) => one.part === part.id).map((one) => from.controls[one.control]!.positions.length);
  const [was] = steps(machine, old);
  const [is] = steps(changed, now);
  if (was === is) return [];
  return [
    { about: old.name, text: `has ${is ?? "no"} steps on the new part, ${was ?? "no"} on the old one.`, fits: "wrong" },
  ];
}

/** The usual tolerance of motor capacitors (IEC 60252-1, from memory: 5 or 10 %). */
const SAME_FARADS = 0.1;

function loadLines(machine: Machine, changed: Machine, old: Part, now: Part): FitLine[] {
  const lines: FitLine[] = [];
  for (const id of old.loads) {
    const load = machine.loads[id]!;
    const other =
      now.loads.map((one) => changed.loads[one]!).find((one) => ownName(one) === ownName(load)) ??
      (old.loads.length === 1 ? changed.loads[now.loads[0] ?? -1] : undefined);
    if (!other) {
      lines.push({ about: load.name, text: "has no counterpart.", fits: "wrong" });
      continue;
    }
    const differ = (a: number | undefined, b: number | undefined) =>
      a !== undefined && b !== undefined && Math.abs(a - b) > SAME * Math.max(Math.abs(a), Math.abs(b));
    if (differ(load.ratedVolts, other.ratedVolts))
      lines.push({
        about: load.name,
        text: `is made for ${volts(other.ratedVolts!)} on the new part, ${volts(load.ratedVolts!)} on the old one.`,
        fits: "wrong",
      });
    const [was, is] = [load.capacitance, other.capacitance];
    if (was !== undefined && is !== undefined && Math.abs(is - was) > SAME_FARADS * was)
      lines.push({
        about: load.name,
        text: `has ${formatQuantity(is, "capacitance")} on the new part, ${formatQuantity(was, "capacitance")} on the old one: a motor's capacitor must have the same.`,
        fits: "wrong",
      });
    if (differ(load.ratedWatts, other.ratedWatts))
      lines.push({
        about: load.name,
        text: `takes ${watts(other.ratedWatts!)} on the new part, ${watts(load.ratedWatts!)} on the old one.`,
        fits: "other",
      });
    else if (differ(load.ratedAmps, other.ratedAmps))
      lines.push({
        about: load.name,
        text: `draws ${amps(other.ratedAmps!)} on the new part, ${amps(load.ratedAmps!)} on the old one.`,
        fits: "other",
      });
  }
  return lines;
}

/** `drive` of `TM.drive`. */
function ownName({ name }: Load): string {
  return name.slice(name.indexOf(".") + 1);
}
