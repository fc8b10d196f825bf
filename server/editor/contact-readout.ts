/** What there is to say about a contact: when it is closed, what it carries, makes and breaks, and its margin against the rating. */
import { threeFigures } from "../../grammar/quantity.ts";
import { type FedLoads, fedBy, startingMoment } from "../checks/fed-by.ts";
import { unsolved } from "../checks/not-solved.ts";
import { ACT_WORDS, type Act, type LoadDuty } from "../checks/rating.ts";
import { kindOfWhole, type Nearest, nearestToLimit } from "../checks/shares.ts";
import { isProved, largestInWords, rangeInWords } from "../checks/unproved.ts";
import { deviceWord, list, loadName, percent, verb } from "../checks/words.ts";
import { flowThrough, workingVoltsOf } from "../checks/working-volts.ts";
import { describeCondition } from "../machine/index.ts";
import type { Contact, ContactId, MachineState } from "../machine/machine.ts";
import { contactTest } from "../meter/part-tests.ts";
import type { Engine, Extreme, Extremes } from "../states/engine.ts";
import { amount } from "./amounts.ts";
import { inputFacts } from "./condition-words.ts";
import { type Fact, type Readout, stateWords, stillWorking, testFacts } from "./readout.ts";
import type { MachineView } from "./view.ts";

/** Below this no current is worth telling, A. */
const leastAmps = 1e-6;

export function contactReadout(view: MachineView, id: ContactId): Readout {
  const { machine, engine } = view;
  const contact = machine.contacts[id]!;
  const part = machine.parts[contact.part]!;
  const ends = [contact.a, contact.b].map((terminal) => machine.terminals[terminal]!.fullName);
  const facts: Fact[] = [
    { name: "between", text: ends.join(" and ") },
    { name: "closed when", text: describeCondition(machine, contact.closed) },
  ];
  if (engine) facts.push(...inputFacts(engine, engine.closed(id)));
  if (contact.opensAt !== undefined) facts.push({ name: "acts", text: heatWords(contact) });
  if (contact.ratings.length > 0)
    facts.push({ name: "rated", text: [...new Set(contact.ratings.map(({ text }) => text))].join(" or ") });
  if (engine) facts.push(...currentFacts(engine, contact));
  else facts.push(stillWorking);
  facts.push(...testFacts(view, contactTest(view.circuit, id, true)));
  const what = part.contacts.length > 1 ? `contact of ${part.label ?? part.name}` : deviceWord(contact);
  const label = part.contacts.length > 1 ? undefined : part.label;
  return { name: contact.name, what, ...(label === undefined ? {} : { label }), facts };
}

function heatWords({ opensAt, opensUpTo, closesAt, resets }: Contact): string {
  const ends = resets === "hand" ? ", reset by hand" : resets === "never" ? ", once and for all" : "";
  if (opensUpTo === undefined)
    return `opens at ${opensAt} °C${closesAt === undefined ? "" : `, closes at ${closesAt} °C`}${ends}`;
  const lower = closesAt === undefined ? "" : `, closes ${threeFigures(opensAt! - closesAt)} K below`;
  return `opens at ${opensAt} to ${opensUpTo} °C, as it is set${lower}${ends}`;
}

/** One thing the contact does at its worst. */
interface ActFound {
  readonly act: Act;
  /** Undefined where it never does; for breaking, the state is the one before. */
  readonly most?: { readonly value: number; readonly state: MachineState };
  /** All that is known of it: more may flow where the search was cut short. */
  readonly whole: Extremes;
  /** The kind of load for which it comes nearest to the rating; undefined where it never does. */
  readonly nearest: () => Nearest | undefined;
}

interface Switched {
  readonly volts: number;
  readonly fed: FedLoads;
  /** Carry, make and break. */
  readonly acts: readonly ActFound[];
}

/** What the contact switches over every state; undefined when no current is known to flow through it in any. */
function switchedBy(engine: Engine, contact: Contact): Switched | undefined {
  const asked = (of: "carries" | "makes" | "breaks") => engine.extreme({ of, contact: contact.id }, engine.all());
  const carried = asked("carries");
  const made = asked("makes");
  const broken = asked("breaks");
  const flows = flowThrough(carried, made, broken, leastAmps);
  if (!flows) return undefined;
  const fed = fedBy(engine, contact.id, flows.state);
  const volts = workingVoltsOf(engine, contact, flows, made.largest);
  const found = (act: Act, whole: Extremes, main: (most: Extreme) => LoadDuty): ActFound => {
    const { largest } = whole;
    if (!largest || !(largest.value > leastAmps)) return { act, whole, nearest: () => undefined };
    // What is interrupted flowed in the state before the change.
    const state = act === "break" ? (largest.before ?? largest.state) : largest.state;
    return {
      act,
      whole,
      most: { value: largest.value, state },
      nearest: () => nearestToLimit(engine, contact, volts, act, whole, main(largest)),
    };
  };
  return {
    volts,
    fed,
    acts: [
      found("carry", carried, () => fed.main),
      found("make", made, (most) =>
        kindOfWhole(
          contact.ratings,
          volts,
          "make",
          fedBy(engine, contact.id, most.state, startingMoment(engine, most)),
        ),
      ),
      found("break", broken, (most) =>
        kindOfWhole(contact.ratings, volts, "break", fedBy(engine, contact.id, most.before ?? most.state)),
      ),
    ],
  };
}

const KIND_WORDS: Readonly<Record<LoadDuty, string>> = {
  resistive: "heaters",
  motor: "motors",
  inductive: "coils and valves",
  lamp: "lamps",
};

function currentFacts(engine: Engine, contact: Contact): Fact[] {
  const open = unsolved(engine).find(({ contacts }) => contacts.includes(contact.id));
  const besides: Fact[] = open
    ? [{ name: "not worked out", text: `${stateWords(engine, open.state)}: a diode feeds more than plain resistance` }]
    : [];
  return [...tellCurrents(engine, contact, besides.length > 0), ...besides];
}

/** `open`: in some state it carries what is not worked out. */
function tellCurrents(engine: Engine, contact: Contact, open: boolean): Fact[] {
  const switched = switchedBy(engine, contact);
  if (!switched && open) return [];
  if (!switched) {
    const found = engine.extreme({ of: "carries", contact: contact.id }, engine.all());
    return [
      {
        name: "carries",
        text: isProved(found) ? "no current in any state" : `not known: ${rangeInWords(found, amount.amps)}`,
      },
    ];
  }
  const { volts, fed, acts } = switched;
  const told = acts.map(({ act, most, whole, nearest }): ActTold => {
    const name = ACT_WORDS[act];
    if (!most) {
      const nothing =
        act === "carry"
          ? "nothing once all that starts has started"
          : "nothing: something else in series does the switching";
      return { name, text: isProved(whole) ? nothing : `not known: ${rangeInWords(whole, amount.amps)}`, where: "" };
    }
    const { verdict, current, duty } = nearest()!;
    const share = current === whole ? "" : `; for ${KIND_WORDS[duty]} alone ${rangeInWords(current, amount.amps)}`;
    const margin =
      verdict.verdict === "within" || verdict.verdict === "over"
        ? `; ${percent(verdict.share)} of ${verdict.limit.words}${verdict.limit.stated ? "" : " (the stamp says nothing about this kind of load)"}`
        : verdict.verdict === "not-rated"
          ? `; not rated at ${amount.volts(volts)}`
          : "";
    const where = `; with ${stateWords(engine, most.state)}`;
    return { name, text: `${rangeInWords(whole, amount.amps)}${share}${margin}`, where };
  });
  const facts = togetherTold(told);
  const assumed = fed.loads.filter((load) => !engine.circuit.machine.loads[load]!.known);
  if (assumed.length > 0)
    facts.push({
      name: "only assumed",
      text: `what ${list(assumed.map((load) => loadName(engine.circuit.machine, load)))} ${verb(assumed.length, "takes", "take")} of it: the text does not say`,
    });
  if (fed.loads.length > 0)
    facts.push({ name: "feeds", text: list(fed.loads.map((load) => loadName(engine.circuit.machine, load))) });
  return facts;
}

/** One act in words; `where` the state that shows it. */
interface ActTold {
  readonly name: string;
  readonly text: string;
  readonly where: string;
}

/** Acts of the same words in one line: `carries, makes and breaks`, with the state that shows the first of them. */
function togetherTold(told: readonly ActTold[]): Fact[] {
  const texts = [...new Set(told.map(({ text }) => text))];
  return texts.map((text) => {
    const acts = told.filter((act) => act.text === text);
    return { name: list(acts.map(({ name }) => name)), text: `${text}${acts[0]!.where}` };
  });
}

/** What the contact does when it comes nearest to its rating, or goes furthest past it. */
export interface NearestToRating {
  /** `carries`, `makes` or `breaks`. */
  readonly verb: string;
  readonly share: number;
  /** False where the search for more was cut short. */
  readonly proved: boolean;
  readonly state: MachineState;
}

export interface ContactDuty {
  /** What it does at most, in A: carry, make and break, those that it never does left out. */
  readonly acts: readonly { readonly verb: string; readonly amps: number; readonly words: string }[];
  /** False where it may do more, or more than what was found nothing of: a search was cut short. */
  readonly proved: boolean;
  readonly nearest?: NearestToRating;
  /** Its working volts, when its stamp says nothing about them. */
  readonly notRatedAt?: number;
}

export function contactDuty(engine: Engine, contact: Contact): ContactDuty {
  const switched = switchedBy(engine, contact);
  if (!switched) {
    const proved = (["carries", "makes", "breaks"] as const).every((of) =>
      isProved(engine.extreme({ of, contact: contact.id }, engine.all())),
    );
    return { acts: [], proved };
  }
  const proved = switched.acts.every(({ whole }) => isProved(whole));
  const acts: { verb: string; amps: number; words: string }[] = [];
  let nearest: NearestToRating | undefined;
  let notRatedAt: number | undefined;
  for (const { act, most, whole, nearest: near } of switched.acts) {
    if (!most) continue;
    const verb = ACT_WORDS[act];
    acts.push({ verb, amps: most.value, words: largestInWords(whole, amount.amps) });
    const { verdict, current } = near()!;
    if (verdict.verdict === "not-rated") notRatedAt = switched.volts;
    if (verdict.verdict !== "within" && verdict.verdict !== "over") continue;
    if (!nearest || verdict.share > nearest.share) {
      const shows = current.largest!;
      const state = act === "break" ? (shows.before ?? shows.state) : shows.state;
      nearest = { verb, share: verdict.share, proved: isProved(current), state };
    }
  }
  return { acts, proved, nearest, notRatedAt };
}

export function nearestToRating(engine: Engine, contact: Contact): NearestToRating | undefined {
  return contactDuty(engine, contact).nearest;
}
