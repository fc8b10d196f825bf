/** What there is to say about a contact: when it is closed, what it carries, makes and breaks, and its margin against the rating. */
import { type FedLoads, fedBy, startingMoment } from "../checks/fed-by.ts";
import { ACT_WORDS, type Act, judge, type LoadDuty } from "../checks/rating.ts";
import { deviceWord, list, loadName } from "../checks/words.ts";
import { workingVoltsOf } from "../checks/working-volts.ts";
import { describeCondition } from "../machine/index.ts";
import type { Contact, ContactId, MachineState } from "../machine/machine.ts";
import { contactTest } from "../meter/part-tests.ts";
import type { Engine } from "../states/engine.ts";
import { amount } from "./amounts.ts";
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

function heatWords(contact: Contact): string {
  const opens = `opens at ${contact.opensAt} °C`;
  const closes = contact.closesAt === undefined ? "" : `, closes at ${contact.closesAt} °C`;
  const resets = contact.resets === "hand" ? ", reset by hand" : contact.resets === "never" ? ", once and for all" : "";
  return opens + closes + resets;
}

/** One thing the contact does at its worst, and the kind of load that takes most of it then. */
interface ActFound {
  readonly act: Act;
  /** The largest current and the state that shows it: for breaking, the state before. */
  readonly most?: { readonly value: number; readonly state: MachineState };
  readonly duty: () => LoadDuty;
}

interface Switched {
  readonly volts: number;
  readonly fed: FedLoads;
  /** Carry, make and break. */
  readonly acts: readonly ActFound[];
}

/** What the contact switches over every state; undefined when no current ever flows through it. */
function switchedBy(engine: Engine, contact: Contact): Switched | undefined {
  const most = (of: "carries" | "makes" | "breaks") => {
    const found = engine.extreme({ of, contact: contact.id }, engine.all()).largest;
    return found && found.value > leastAmps ? found : undefined;
  };
  const carries = most("carries");
  const makes = most("makes");
  const breaks = most("breaks");
  const flows = carries ?? makes;
  if (!flows) return undefined;
  const fed = fedBy(engine, contact.id, flows.state);
  // What is interrupted flowed in the state before the change.
  const before = breaks && { value: breaks.value, state: breaks.before ?? breaks.state };
  return {
    volts: workingVoltsOf(engine, contact, flows),
    fed,
    acts: [
      { act: "carry", most: carries, duty: () => fed.main },
      {
        act: "make",
        most: makes,
        duty: () => (makes ? fedBy(engine, contact.id, makes.state, startingMoment(engine, makes)).main : fed.main),
      },
      {
        act: "break",
        most: before,
        duty: () => (before ? fedBy(engine, contact.id, before.state).main : fed.main),
      },
    ],
  };
}

function currentFacts(engine: Engine, contact: Contact): Fact[] {
  const switched = switchedBy(engine, contact);
  if (!switched) return [{ name: "carries", text: "no current in any state" }];
  const { volts, fed, acts } = switched;
  const facts = acts.flatMap(({ act, most, duty }): Fact[] => {
    const name = ACT_WORDS[act];
    if (!most) {
      const nothing =
        act === "carry"
          ? "nothing once all that starts has started"
          : "nothing: something else in series does the switching";
      return [{ name, text: nothing }];
    }
    const verdict = judge(contact.ratings, volts, duty(), act, most.value);
    const margin =
      verdict.verdict === "within" || verdict.verdict === "over"
        ? `; ${Math.round(verdict.share * 100)} % of ${verdict.limit.words}${verdict.limit.stated ? "" : " (the stamp says nothing about this kind of load)"}`
        : verdict.verdict === "not-rated"
          ? `; not rated at ${amount.volts(volts)}`
          : "";
    return [
      { name, text: `${amount.amps(most.value)}${margin}` },
      { name: `${name} most`, text: stateWords(engine, most.state) },
    ];
  });
  if (fed.loads.length > 0)
    facts.push({ name: "feeds", text: list(fed.loads.map((load) => loadName(engine.circuit.machine, load))) });
  return facts;
}

/** What the contact does when it comes nearest to its rating, or goes furthest past it. */
export interface NearestToRating {
  /** `carries`, `makes` or `breaks`. */
  readonly verb: string;
  readonly share: number;
  readonly state: MachineState;
}

export interface ContactDuty {
  /** What it does at most, in A: carry, make and break, those that it never does left out. */
  readonly acts: readonly { readonly verb: string; readonly amps: number }[];
  readonly nearest?: NearestToRating;
  /** Its working volts, when its stamp says nothing about them. */
  readonly notRatedAt?: number;
}

export function contactDuty(engine: Engine, contact: Contact): ContactDuty {
  const switched = switchedBy(engine, contact);
  if (!switched) return { acts: [] };
  const acts: { verb: string; amps: number }[] = [];
  let nearest: NearestToRating | undefined;
  let notRatedAt: number | undefined;
  for (const { act, most, duty } of switched.acts) {
    if (!most) continue;
    const verb = ACT_WORDS[act];
    acts.push({ verb, amps: most.value });
    const verdict = judge(contact.ratings, switched.volts, duty(), act, most.value);
    if (verdict.verdict === "not-rated") notRatedAt = switched.volts;
    if (verdict.verdict !== "within" && verdict.verdict !== "over") continue;
    if (!nearest || verdict.share > nearest.share) nearest = { verb, share: verdict.share, state: most.state };
  }
  return { acts, nearest, notRatedAt };
}

export function nearestToRating(engine: Engine, contact: Contact): NearestToRating | undefined {
  return contactDuty(engine, contact).nearest;
}
