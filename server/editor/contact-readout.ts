/** What there is to say about a contact: when it is closed, what it carries, makes and breaks, and its margin against the rating. */
import { energised } from "../checks/ask.ts";
import { workingVoltsOf } from "../checks/contact-over-rating/check.ts";
import { fedBy } from "../checks/fed-by.ts";
import { type Act, judge, type LoadDuty } from "../checks/rating.ts";
import { deviceWord, list, loadName } from "../checks/words.ts";
import { describeCondition } from "../machine/index.ts";
import type { Contact, ContactId, MachineState } from "../machine/machine.ts";
import type { Engine, Extreme } from "../states/engine.ts";
import { amount } from "./amounts.ts";
import { type Fact, type Readout, stateWords, stillWorking } from "./readout.ts";
import type { MachineView } from "./view.ts";

/** Below this no current is worth telling, A. */
const leastAmps = 1e-6;

export function contactReadout({ machine, engine }: MachineView, id: ContactId): Readout {
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

function currentFacts(engine: Engine, contact: Contact): Fact[] {
  const all = engine.all();
  const carries = engine.extreme({ of: "carries", contact: contact.id }, all).largest;
  const made = engine.extreme({ of: "makes", contact: contact.id }, all).largest;
  const broken = engine.extreme({ of: "breaks", contact: contact.id }, all).largest;
  const flows = [carries, made].find((found) => found && found.value > leastAmps);
  if (!flows) return [{ name: "carries", text: "no current in any state" }];
  const fed = fedBy(engine, contact.id, flows.state);
  const volts = workingVoltsOf(engine, contact, flows);
  const facts: Fact[] = [];
  const tell = (name: string, act: Act, found: Extreme | undefined, duty: LoadDuty): void => {
    if (!found || !(found.value > leastAmps)) {
      const nothing =
        act === "carry"
          ? "nothing once all that starts has started"
          : "nothing: something else in series does the switching";
      facts.push({ name, text: nothing });
      return;
    }
    const verdict = judge(contact.ratings, volts, duty, act, found.value);
    const margin =
      verdict.verdict === "within" || verdict.verdict === "over"
        ? `; ${Math.round(verdict.share * 100)} % of ${verdict.limit.words}${verdict.limit.stated ? "" : " (the stamp says nothing about this kind of load)"}`
        : verdict.verdict === "not-rated"
          ? `; not rated at ${amount.volts(volts).text}`
          : "";
    facts.push({ name, text: `${amount.amps(found.value).text}${margin}` });
    facts.push({ name: `${name} most`, text: stateWords(engine, found.state) });
  };
  tell("carries", "carry", carries, fed.main);
  tell("makes", "make", made, made ? startedDuty(engine, contact.id, made) : fed.main);
  // What is interrupted flowed in the state before the change.
  const before = broken && { ...broken, value: broken.value, state: broken.before ?? broken.state };
  tell("breaks", "break", before, before ? fedBy(engine, contact.id, before.state).main : fed.main);
  if (fed.loads.length > 0)
    facts.push({ name: "feeds", text: list(fed.loads.map((load) => loadName(engine.circuit.machine, load))) });
  return facts;
}

/** The kind of load that takes most in the first moment after the contact closed. */
function startedDuty(engine: Engine, contact: ContactId, { before, state }: Extreme): LoadDuty {
  const loads = engine.circuit.machine.loads
    .map(({ id }) => id)
    .filter((id) => {
      const on = energised(engine, id);
      return engine.has(on, state) && (before === undefined || !engine.has(on, before));
    });
  return fedBy(engine, contact, state, { at: "inrush", loads }).main;
}

/** The act (carry, make or break) in which the contact comes nearest to its rating, or furthest past it. */
export interface ActVerdict {
  readonly act: Act;
  readonly share: number;
  readonly state: MachineState;
}

export function worstAgainstRating(engine: Engine, contact: Contact): ActVerdict | undefined {
  const all = engine.all();
  const carries = engine.extreme({ of: "carries", contact: contact.id }, all).largest;
  const made = engine.extreme({ of: "makes", contact: contact.id }, all).largest;
  const flows = [carries, made].find((found) => found && found.value > leastAmps);
  if (!flows) return undefined;
  const volts = workingVoltsOf(engine, contact, flows);
  const broken = engine.extreme({ of: "breaks", contact: contact.id }, all).largest;
  const before = broken && { value: broken.value, state: broken.before ?? broken.state };
  const acts: (readonly [Act, { readonly value: number; readonly state: MachineState } | undefined, () => LoadDuty])[] =
    [
      ["carry", carries, () => fedBy(engine, contact.id, carries!.state).main],
      ["make", made, () => startedDuty(engine, contact.id, made!)],
      ["break", before, () => fedBy(engine, contact.id, before!.state).main],
    ];
  let worst: ActVerdict | undefined;
  for (const [act, found, duty] of acts) {
    if (!found || !(found.value > leastAmps)) continue;
    const verdict = judge(contact.ratings, volts, duty(), act, found.value);
    if (verdict.verdict !== "within" && verdict.verdict !== "over") continue;
    if (!worst || verdict.share > worst.share) worst = { act, share: verdict.share, state: found.state };
  }
  return worst;
}
