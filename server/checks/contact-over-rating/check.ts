/** A contact that carries, makes or breaks more than its rating set states, running or at motor start. */

import type { Gravity } from "../../base/finding.ts";
import type { Contact, LoadId, Machine, RatingPoint } from "../../machine/machine.ts";
import type { Engine, Extreme, Extremes } from "../../states/engine.ts";
import { inPieces } from "../../states/in-pieces.ts";
import { shown, shownAfter } from "../ask.ts";
import type { Check } from "../check.ts";
import { fedBy } from "../fed-by.ts";
import { ACT_WORDS, type Act, isOver, judge, type Limit, type LoadDuty, lowestLimit } from "../rating.ts";
import { sharesOf } from "../shares.ts";
import { couldExceed, type Found, isProved, mostOf, rangeInWords, unprovedWords } from "../unproved.ts";
import { amps, contactName, list, loadName, related, relatedOnce, volts } from "../words.ts";
import { anyWorkingVolts, flowThrough, type WorkingVolts, workingVolts } from "../working-volts.ts";
import { type Overload, Overloads } from "./overloads.ts";

/** An act that may be over the limit in states that a search cut short left out. */
interface OpenAct {
  readonly act: Act;
  readonly found: Extremes;
  readonly limit: Limit;
}

const ACTS: readonly Act[] = ["carry", "make", "break"];

const QUANTITY = { carry: "carries", make: "makes", break: "breaks" } as const;

export const contactOverRating: Check = {
  id: "contact-over-rating",
  gravity: "error",
  title: "A contact that carries, makes or breaks more than it is rated for",
  *run({ engine, machine, report }) {
    const judged = new Overloads(engine);
    /** Contacts of one part mostly share their ratings. */
    const leastLimits = new Map<Contact["ratings"], number>();
    for (const contact of machine.contacts) {
      const { ratings } = contact;
      if (ratings.length === 0) continue;
      const anyVolts = anyWorkingVolts(machine, ratings);
      if (anyVolts) {
        // The amps of a fuse are not what it stands but what it opens at: breaker-size tells those.
        if (isFuse(contact) || isNeverOverAtAll(contact, anyVolts)) continue;
        const acts = ACTS.filter((act) => !isNeverOver(contact, anyVolts, act));
        if (acts.length === 0) continue;
        yield;
        yield* judgeActs(contact, anyVolts, acts);
        continue;
      }
      yield;
      const all = engine.all();
      const carried = yield* inPieces(engine, { of: "carries", contact: contact.id }, all);
      const made = yield* inPieces(engine, { of: "makes", contact: contact.id }, all);
      // A start winding's contact closes with everything off and opens once the motor runs: all it ever does is break.
      const idle = !(mostOf(carried) > 0 || mostOf(made) > 0);
      const broken = idle ? yield* inPieces(engine, { of: "breaks", contact: contact.id }, all) : undefined;
      if (broken && !(mostOf(broken) > 0)) continue;
      // The contacts of a start winding carry nothing once the motor runs, and its starting current each time.
      const flows = flowThrough(carried, made, broken);
      const sure = isProved(carried) && (flows === carried.largest || isProved(made)) && (!broken || isProved(broken));
      yield* inPieces(engine, { of: "breaks-volts", contact: contact.id }, all);
      const working = workingVolts(engine, contact, flows, flows && sure, made.largest);
      const notRated = judge(ratings, working.found, "resistive", "carry", 0);
      if (notRated.verdict === "not-rated") {
        if (flows) tellNotRated(contact, working.found, notRated.words, flows);
        else tellOpenVolts(contact, working, carried);
        continue;
      }
      if (isFuse(contact) || !(yield* judgeActs(contact, working, ACTS))) tellOpenVolts(contact, working, carried);
    }

    /** Judges some of what a contact does; true when there was anything to tell. */
    function* judgeActs(contact: Contact, working: WorkingVolts, acts: readonly Act[]): Generator<void, boolean> {
      const { id, ratings } = contact;
      const { possible } = working;
      const all = engine.all();
      const overloads: Overload[] = [];
      const open: OpenAct[] = [];
      for (const act of acts) {
        // A contact that only inputs move opens from states at rest: it never breaks more than it carries there.
        if (act === "break" && movedByInputs(machine, contact)) {
          const carried = yield* inPieces(engine, { of: "carries", contact: id }, all);
          if (!mayBeOver(carried, lowestLimit(ratings, possible, act))) continue;
        }
        look(act, yield* inPieces(engine, { of: QUANTITY[act], contact: id }, all));
      }
      if (overloads.length > 0) tell(contact, overloads);
      else if (open[0]) tellOpen(contact, working, open[0]);
      return overloads.length > 0 || open.length > 0;

      function look(act: Act, whole: Extremes): void {
        // What no kind of load may exceed needs no telling apart.
        const lowest = lowestLimit(ratings, possible, act);
        if (!mayBeOver(whole, lowest)) return;
        const over = judged.of(contact, possible, act, whole);
        if (over) {
          overloads.push(over);
          return;
        }
        if (act !== "carry")
          // Each kind of load against its own limit, also where another kind draws more through the same contact.
          for (const { duty, limit, current } of sharesOf(engine, contact, ratings, possible, act, whole)) {
            const share = judged.ofShare(contact, possible, act, duty, current);
            if (share) {
              overloads.push(share);
              return;
            }
            if (mayBeOver(current, limit)) open.push({ act, found: current, limit });
          }
        if (lowest && (possible.length > 1 || !isProved(whole))) open.push({ act, found: whole, limit: lowest });
      }
    }

    /** True when the least limit of all acts holds for what the contact makes at most, which is not less than what it carries or breaks. */
    function isNeverOverAtAll(contact: Contact, { possible }: WorkingVolts): boolean {
      const most = engine.atMost?.({ of: "makes", contact: contact.id }) ?? Number.POSITIVE_INFINITY;
      if (most === 0) return true;
      let least = leastLimits.get(contact.ratings);
      if (least === undefined) {
        least = Math.min(...ACTS.map((act) => lowestLimit(contact.ratings, possible, act)?.amps ?? 0));
        leastLimits.set(contact.ratings, least);
      }
      return most <= least;
    }

    /** True when all that the contact may ever carry, make or break is known to be within the limit without a search. */
    function isNeverOver(contact: Contact, { possible }: WorkingVolts, act: Act): boolean {
      // As below: from rest nothing is broken that is not carried there.
      const of = act === "break" && movedByInputs(machine, contact) ? "carries" : QUANTITY[act];
      const most = engine.atMost?.({ of, contact: contact.id }) ?? Number.POSITIVE_INFINITY;
      const limit = lowestLimit(contact.ratings, possible, act);
      return !limit || most <= limit.amps;
    }

    /** True when some state may have more than the limit, found or not. */
    function mayBeOver(found: Extremes, limit: Limit | undefined): boolean {
      if (limit === undefined) return false;
      return isOver(found.largest?.value ?? 0, limit) || couldExceed(engine, found, limit.amps);
    }

    function tellNotRated(contact: Contact, found: number, words: string, { state }: Extreme): void {
      report({
        place: contact.namePlace,
        what: `${contactName(machine, contact.id)} ${words}.`,
        why: "Above its highest stated voltage a contact is not rated at all: the arc may not go out when it opens.",
        advice: isFuse(contact)
          ? `Fit one of the same amps, rated for at least ${Math.round(found)} V.`
          : `Fit a contact rated for at least ${Math.round(found)} V, or move it to a leg where it switches less.`,
        state: shown(engine, state),
        related: ratingAndLoads(machine, contact, contact.ratings, fedBy(engine, contact.id, state).loads),
      });
    }

    /** Nothing over was found, but the search did not end, and what it leaves open may be over. */
    function tellOpen(contact: Contact, { possible }: WorkingVolts, { act, found, limit }: OpenAct): void {
      const switched = possible.length > 1 ? ` (it switches ${rangeInWords(acrossOf(possible), volts)})` : "";
      report({
        ...unprovedWords(contactName(machine, contact.id), ACT_WORDS[act], found, limit.words + switched, amps),
        place: contact.namePlace,
        related: ratingAndLoads(machine, contact, [limit.point], []),
      });
    }

    /** It may switch more volts than it is rated for at all, or, where it is sure to, no current was found so far. */
    function tellOpenVolts(contact: Contact, { possible }: WorkingVolts, carried: Extremes): void {
      const most = possible.at(-1)!;
      const verdict = judge(contact.ratings, most, "resistive", "carry", 0);
      if (verdict.verdict !== "not-rated") return;
      const name = contactName(machine, contact.id);
      report({
        ...(possible.length > 1
          ? unprovedWords(name, "switches", acrossOf(possible), volts(verdict.highest), volts)
          : unprovedWords(
              name,
              "carries",
              carried,
              `nothing, at ${volts(most)}: ${volts(verdict.highest)} is the most`,
              amps,
            )),
        place: contact.namePlace,
        related: ratingAndLoads(machine, contact, contact.ratings, []),
      });
    }

    function tell(contact: Contact, overloads: readonly Overload[]): void {
      const worst = overloads.reduce((a, b) => (b.verdict.share > a.verdict.share ? b : a));
      const assumed = assumedAmounts(engine, overloads);
      const stated = overloads.some(({ verdict }) => verdict.limit.stated);
      const onlyUnmarkedMotor = !stated;
      // NEC 404.14(A), from memory: general-use AC switches may switch tungsten lamps up to their amps at 120 V. Other marks do not say so.
      const onlyLamps = !stated && overloads.every(({ duty }) => duty === "lamp");
      const gravity: Gravity | undefined =
        assumed || onlyLamps ? "information" : onlyUnmarkedMotor ? "warning" : undefined;
      const motor = overloads.some(({ act, duty }) => act === "make" && duty === "motor");
      report({
        gravity,
        place: contact.namePlace,
        what: `${contactName(machine, contact.id)} ${overloadWords(overloads)}${assumed ? `; the amps of ${assumed} are only assumed` : ""}.`,
        why: assumed
          ? `Nothing written says what ${assumed} takes, so this may be more or less.`
          : onlyUnmarkedMotor
            ? UNMARKED[worst.duty].why
            : motor
              ? "A motor draws its starting current each time the contact makes: the silver burns through, or the contact welds and stays closed."
              : "It runs hot and burns, or welds and stays closed.",
        advice: assumed
          ? `Write what the plate of ${assumed} says; then this is judged.`
          : adviceOf(worst, onlyUnmarkedMotor),
        state: shownAfter(engine, worst.before, worst.state),
        related: ratingAndLoads(
          machine,
          contact,
          overloads.map(({ verdict }) => verdict.limit.point),
          loadsOf(overloads),
        ),
      });
    }
  },
};

const motorStarts = {
  why: "Its plain amps say nothing about starting motors, so nobody has stated that it stands this: expect burnt contacts.",
  advice:
    "Look for a horsepower mark or a figure in brackets on the part and write it into the rating; without one, let a relay or a motor switch take the starts.",
};

/** Told of plain amps, by the kind of load for which they state nothing. */
const UNMARKED: Readonly<Record<LoadDuty, { readonly why: string; readonly advice: string }>> = {
  motor: motorStarts,
  resistive: motorStarts,
  inductive: {
    why: "A coil takes many times its amps until its armature has moved; plain amps do not speak of that, so nobody has stated that it stands this.",
    advice:
      "Look for a pilot duty code or an inductive rating on the part and write it into the rating; without one, fit a contact that has it.",
  },
  lamp: {
    why: "A cold filament takes some 14 times its amps in the first moment; plain amps do not speak of lamps, so nobody has stated that it stands this: in time the contact welds.",
    advice:
      "Look for a lamp figure in square brackets, or a tungsten or lamp mark, and write it into the rating, as in: rated 4[6] A 250 V. Without one, a smaller lamp or a contact of more amps.",
  },
};

/** Loads of which nothing says what they take and without which each of these is within its limit, in words. */
function assumedAmounts(engine: Engine, overloads: readonly Overload[]): string | undefined {
  const { machine } = engine.circuit;
  const names = new Set<string>();
  // Over already by loads that are all known: nothing has to be solved.
  if (overloads.some(({ loads }) => loads.every((id) => machine.loads[id]!.known))) return undefined;
  for (const { act, state, verdict, loads } of overloads) {
    const { loadVolts } = engine.solve(state);
    let assumed = 0;
    for (const id of loads) {
      const { known, impedance, inrush, name } = machine.loads[id]!;
      const z = (act === "make" ? inrush : undefined) ?? impedance.at(-1);
      if (known || !z) continue;
      assumed += Math.hypot(loadVolts.re[id]!, loadVolts.im[id]!) / Math.hypot(z.re, z.im);
      names.add(name);
    }
    if (verdict.limit.amps - verdict.margin - assumed > verdict.limit.amps) return undefined;
  }
  return names.size > 0 ? list([...names]) : undefined;
}

/** Each once. */
function loadsOf(overloads: readonly Overload[]): readonly LoadId[] {
  const [first, ...others] = overloads;
  if (first && others.length === 0) return first.loads;
  return [...new Set(overloads.flatMap(({ loads }) => loads))];
}

/** Working volts that are not known to the end, smallest first, as what is known of them. */
function acrossOf(possible: readonly number[]): Found {
  return { largest: { value: possible[0]! }, exact: false, bound: possible.at(-1)! };
}

function isFuse({ role }: Contact): boolean {
  return role === "fuse" || role === "breaker";
}

function movedByInputs({ controls }: Machine, { closed }: Contact): boolean {
  return closed.every((clause) => clause.every(({ control }) => !controls[control]!.settled));
}

/** `carries and makes 10 A; rated 7.5 A at 250 V`: acts of the same amps against the same limit are said together. */
function overloadWords(overloads: readonly Overload[]): string {
  const acts = new Map<string, string[]>();
  for (const { act, verdict, proved } of overloads) {
    const { words } = verdict;
    const amount = (proved ? "" : "at least ") + words.slice(words.indexOf(" ") + 1);
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
  if (unmarked) return UNMARKED[duty].advice;
  if (duty === "motor" && act === "make")
    return "Fit a contact with a motor or horsepower mark that covers the start, or let a relay take it.";
  return "Compare the stamp on the part with the text; if both are right, fit a contact of a higher rating.";
}
