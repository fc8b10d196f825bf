/** A contact that carries, makes or breaks more than its rating set states, running or at motor start. */

import type { Gravity } from "../../base/finding.ts";
import type { Contact, LoadId, Machine, MachineState, RatingPoint } from "../../machine/machine.ts";
import type { Engine, Extreme, Extremes, Region } from "../../states/engine.ts";
import { coversAll, energised, shown, shownAfter } from "../ask.ts";
import type { Check } from "../check.ts";
import { dutyOf, fedBy, startingMoment } from "../fed-by.ts";
import {
  ACT_WORDS,
  type Act,
  isOver,
  judge,
  type Limit,
  LOAD_DUTIES,
  type LoadDuty,
  limitFor,
  type Verdict,
} from "../rating.ts";
import { mostOf, sharesOf } from "../shares.ts";
import { couldExceed, unprovedWords } from "../unproved.ts";
import { amps, contactName, list, loadName, related, relatedOnce, volts } from "../words.ts";
import { type WorkingVolts, workingVolts } from "../working-volts.ts";

interface Overload {
  readonly act: Act;
  readonly duty: LoadDuty;
  readonly verdict: Verdict & { readonly verdict: "over" };
  readonly state: MachineState;
  readonly before?: MachineState;
  readonly loads: readonly LoadId[];
}

/** An act whose search was cut short below what may be over the limit. */
interface OpenAct {
  readonly act: Act;
  readonly found: Extremes;
  readonly limit: Limit;
}

export const contactOverRating: Check = {
  id: "contact-over-rating",
  gravity: "error",
  title: "A contact that carries, makes or breaks more than it is rated for",
  *run({ engine, machine, report }) {
    const energisedOf = new Map<LoadId, Region>();
    const on = (load: LoadId): Region => {
      let region = energisedOf.get(load);
      if (!region) energisedOf.set(load, (region = energised(engine, load)));
      return region;
    };
    for (const contact of machine.contacts) {
      if (contact.ratings.length === 0) continue;
      yield;
      const carried = engine.extreme({ of: "carries", contact: contact.id }, engine.all());
      yield;
      const made = engine.extreme({ of: "makes", contact: contact.id }, engine.all());
      // The contacts of a start winding carry nothing once the motor runs, and its starting current each time.
      const flows = [carried.largest, made.largest].find((found) => found !== undefined && found.value > 0);
      if (!flows && !(mostOf(carried) > 0) && !(mostOf(made) > 0)) continue;
      const working = workingVolts(engine, contact, flows);
      const notRated = judge(contact.ratings, working.found, "resistive", "carry", flows?.value ?? 0);
      const fuse = contact.role === "fuse" || contact.role === "breaker";
      if (flows && notRated.verdict === "not-rated") {
        const fed = fedBy(engine, contact.id, flows.state);
        report({
          place: contact.namePlace,
          what: `${contactName(machine, contact.id)} ${notRated.words}.`,
          why: "Above its highest stated voltage a contact is not rated at all: the arc may not go out when it opens.",
          advice: fuse
            ? `Fit one of the same amps, rated for at least ${Math.round(working.found)} V.`
            : `Fit a contact rated for at least ${Math.round(working.found)} V, or move it to a leg where it switches less.`,
          state: shown(engine, flows.state),
          related: ratingAndLoads(machine, contact, contact.ratings, fed.loads),
        });
        continue;
      }
      // The amps of a fuse are not what it stands but what it opens at: breaker-size tells those.
      if (fuse) {
        tellOpenVolts(contact, working);
        continue;
      }
      yield;
      const overloads: Overload[] = [];
      const open: OpenAct[] = [];
      const look = (act: Act, extremes: Extremes): void => {
        const { largest } = extremes;
        const over = largest && largest.value > 0 ? overloadsOf(engine, contact, working.found, act, largest, on) : [];
        overloads.push(...over);
        if (over.length > 0) return;
        if (act === "carry") openCarry(contact, working, extremes, open);
        else judgeShares(contact, working, act, extremes, overloads, open);
      };
      look("carry", carried);
      look("make", made);
      yield;
      look("break", engine.extreme({ of: "breaks", contact: contact.id }, engine.all()));
      if (overloads.length > 0) tell(contact, overloads);
      else if (open.length > 0) tellOpen(contact, open[0]!);
      else tellOpenVolts(contact, working);
    }

    /** Each kind of load against its own limit, also where another kind draws more through the same contact. */
    function judgeShares(
      contact: Contact,
      working: WorkingVolts,
      act: "make" | "break",
      whole: Extremes,
      overloads: Overload[],
      open: OpenAct[],
    ): void {
      for (const volts of working.possible)
        for (const { duty, limit, current } of sharesOf(engine, contact, contact.ratings, volts, act, whole)) {
          const { largest } = current;
          if (largest && volts === working.found && isOver(largest.value, limit)) {
            overloads.push(overloadIn(engine, contact, volts, act, duty, largest));
            return;
          }
          if (couldExceed(engine, current, limit.amps)) open.push({ act, found: current, limit });
        }
    }

    function openCarry(contact: Contact, working: WorkingVolts, found: Extremes, open: OpenAct[]): void {
      for (const volts of working.possible) {
        const limit = limitFor(contact.ratings, volts, "resistive", "carry");
        if (limit && couldExceed(engine, found, limit.amps)) open.push({ act: "carry", found, limit });
      }
    }

    /** Nothing over was found, but the search did not end, and what it leaves open may be over. */
    function tellOpen(contact: Contact, { act, found, limit }: OpenAct): void {
      report({
        ...unprovedWords(contactName(machine, contact.id), ACT_WORDS[act], found, limit.words, amps),
        place: contact.namePlace,
        related: ratingAndLoads(machine, contact, [limit.point], []),
      });
    }

    /** It may switch more volts than it is rated for at all. */
    function tellOpenVolts(contact: Contact, { possible, across }: WorkingVolts): void {
      if (possible.length < 2 || !coversAll(engine)) return;
      const verdict = judge(contact.ratings, possible.at(-1)!, "resistive", "carry", 0);
      if (verdict.verdict !== "not-rated") return;
      report({
        ...unprovedWords(contactName(machine, contact.id), "switches", across, volts(verdict.highest), volts),
        place: contact.namePlace,
        related: ratingAndLoads(machine, contact, contact.ratings, []),
      });
    }

    function tell(contact: Contact, overloads: readonly Overload[]): void {
      const worst = overloads.reduce((a, b) => (b.verdict.share > a.verdict.share ? b : a));
      const stated = overloads.some(({ verdict }) => verdict.limit.stated);
      const onlyUnmarkedMotor = !stated;
      const gravity: Gravity | undefined = onlyUnmarkedMotor ? "warning" : undefined;
      const motor = overloads.some(({ act, duty }) => act === "make" && duty === "motor");
      report({
        gravity,
        place: contact.namePlace,
        what: `${contactName(machine, contact.id)} ${overloadWords(overloads)}.`,
        why: onlyUnmarkedMotor
          ? "Its plain amps say nothing about starting motors, so nobody has stated that it stands this: expect burnt contacts."
          : motor
            ? "A motor draws its starting current each time the contact makes: the silver burns through, or the contact welds and stays closed."
            : "It runs hot and burns, or welds and stays closed.",
        advice: adviceOf(worst, onlyUnmarkedMotor),
        state: shownAfter(engine, worst.before, worst.state),
        related: ratingAndLoads(
          machine,
          contact,
          overloads.map(({ verdict }) => verdict.limit.point),
          [...new Set(overloads.flatMap(({ loads }) => loads))],
        ),
      });
    }
  },
};

/** Every kind of load that is over, each against its own mark, and the whole current against the main kind's. */
function overloadsOf(
  engine: Engine,
  contact: Contact,
  workingVolts: number,
  act: Act,
  extreme: Extreme,
  on: (load: LoadId) => Region,
): Overload[] {
  // What no kind of load may exceed needs no telling apart.
  if (LOAD_DUTIES.every((duty) => judge(contact.ratings, workingVolts, duty, act, extreme.value).verdict !== "over"))
    return [];
  const state = extreme.state;
  const fed =
    act === "break"
      ? fedBy(engine, contact.id, extreme.before ?? state)
      : fedBy(engine, contact.id, state, act === "make" ? startingMoment(engine, extreme, on) : undefined);
  // With nothing told apart the whole current is judged as resistive.
  const main = fed.loads.length === 0 ? "resistive" : fed.main;
  const parts: [LoadDuty, number][] = [[main, extreme.value]];
  for (const [duty, value] of fed.byDuty)
    if (duty !== main && act !== "carry") parts.push([duty, Math.min(value, extreme.value)]);
  const found: Overload[] = [];
  for (const [duty, value] of parts) {
    const verdict = judge(contact.ratings, workingVolts, duty, act, value);
    if (verdict.verdict === "over")
      found.push({
        act,
        duty,
        verdict: verdict as Overload["verdict"],
        state: act === "break" ? (extreme.before ?? state) : state,
        before: act === "make" ? extreme.before : undefined,
        loads: fed.loads,
      });
  }
  return found.slice(0, 1);
}

/** The share of one kind of load, which is over its own limit while the whole current is within that of the main kind. */
function overloadIn(
  engine: Engine,
  contact: Contact,
  workingVolts: number,
  act: "make" | "break",
  duty: LoadDuty,
  { value, state, before }: Extreme,
): Overload {
  const flowing = act === "break" ? (before ?? state) : state;
  const { loads } = engine.circuit.machine;
  return {
    act,
    duty,
    verdict: judge(contact.ratings, workingVolts, duty, act, value) as Overload["verdict"],
    state: flowing,
    before: act === "make" ? before : undefined,
    loads: fedBy(engine, contact.id, flowing).loads.filter((id) => dutyOf(loads[id]!) === duty),
  };
}

/** `carries and makes 10 A; rated 7.5 A at 250 V`: acts of the same amps against the same limit are said together. */
function overloadWords(overloads: readonly Overload[]): string {
  const acts = new Map<string, string[]>();
  for (const { act, verdict } of overloads) {
    const amount = verdict.words.replace(/^\S+ /, "");
    acts.set(amount, [...(acts.get(amount) ?? []), ACT_WORDS[act]]);
  }
  return list([...acts].map(([amount, verbs]) => `${list(verbs)} ${amount}`));
}

/** Only the points that the limit was taken from: one for other volts would puzzle. */
function ratingAndLoads(machine: Machine, contact: Contact, points: readonly RatingPoint[], loads: readonly LoadId[]) {
  return relatedOnce(contact.namePlace, [
    ...points.map(({ place, text }) => related(place, `its rating: ${text}`)),
    ...loads.map((id) => related(machine.loads[id]!.namePlace, `feeds ${loadName(machine, id)}`)),
  ]);
}

function adviceOf({ act, duty }: Overload, unmarked: boolean): string {
  if (unmarked)
    return "Look for a horsepower mark or a figure in brackets on the part and write it into the rating; without one, let a relay or a motor switch take the starts.";
  if (duty === "motor" && act === "make")
    return "Fit a contact with a motor or horsepower mark that covers the start, or let a relay take it.";
  return "Compare the stamp on the part with the text; if both are right, fit a contact of a higher rating.";
}
