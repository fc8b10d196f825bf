/** Small numbers beside the names in the text: what a load draws, how near a contact comes to its rating. */
import { energised } from "../checks/ask.ts";
import { largestInWords } from "../checks/unproved.ts";
import { describeState } from "../machine/index.ts";
import type { Contact, Load, MachineState } from "../machine/machine.ts";
import type { Engine } from "../states/engine.ts";
import { amount } from "./amounts.ts";
import { nearestToRating } from "./contact-readout.ts";
import { type StateNumbers, stateNumbers } from "./state-readout.ts";
import type { FileView, MachineView } from "./view.ts";

export interface Hint {
  /** Stands behind this offset. */
  readonly offset: number;
  readonly text: string;
  /** The state that shows it. */
  readonly tooltip: string;
}

/**
 * Hints of the stretch `from` to `to`; none while the every-state analysis still runs. `chosen` gives the state whose numbers to
 * show; without one they are the worst over every state.
 */
export function hints(
  view: FileView,
  from: number,
  to: number,
  chosen: (machine: MachineView) => MachineState | undefined = () => undefined,
): Hint[] {
  const found: Hint[] = [];
  for (const each of view.machines) {
    const { machine, engine } = each;
    if (!engine) continue;
    const state = chosen(each);
    const now = state && stateNumbers(engine, state);
    const wanted = (place: { readonly file: string; readonly from: number; readonly to: number }) =>
      place.file === view.file && place.to >= from && place.to <= to;
    for (const load of machine.loads) {
      if (!wanted(load.namePlace)) continue;
      const hint = now ? loadNow(now, load) : loadHint(engine, load);
      if (hint) found.push({ offset: load.namePlace.to, ...hint });
    }
    for (const contact of machine.contacts) {
      // Behind the part's name where it is the only one, else behind what is written of the contact.
      const part = machine.parts[contact.part]!;
      const place = part.contacts.length === 1 ? part.namePlace : contact.place;
      if (!wanted(place) || (contact.ratings.length === 0 && !now)) continue;
      const hint = now ? contactNow(now, contact) : contactHint(engine, contact);
      if (hint) found.push({ offset: place.to, ...hint });
    }
  }
  return found.sort((a, b) => a.offset - b.offset);
}

function loadHint(engine: Engine, load: Load): Omit<Hint, "offset"> | undefined {
  if (!load.known) return undefined;
  const found = engine.extreme({ of: "load-amps", load: load.id }, energised(engine, load.id));
  const most = found.largest;
  if (!most || !Number.isFinite(most.value)) return undefined;
  return { text: largestInWords(found, amount.amps), tooltip: inWords("draws most", engine, most.state) };
}

function contactHint(engine: Engine, contact: Contact): Omit<Hint, "offset"> | undefined {
  const nearest = nearestToRating(engine, contact);
  if (!nearest) return undefined;
  const { verb, share, proved, state } = nearest;
  return {
    text: `${verb} ${proved ? "" : "at least "}${Math.round(share * 100)} % of its rating`,
    tooltip: inWords(`${verb} most`, engine, state),
  };
}

function loadNow(now: StateNumbers, load: Load): Omit<Hint, "offset"> | undefined {
  const { class: found, text } = now.load(load.id);
  if (found === "off" && text === "") return undefined;
  const weak = found === "weak" ? " (weak)" : found === "over" ? " (over its volts)" : "";
  return { text: text.replaceAll("  ", ", ") + weak, tooltip: inState(now) };
}

function contactNow(now: StateNumbers, contact: Contact): Omit<Hint, "offset"> | undefined {
  const { closed, text, share, limit } = now.contact(contact.id);
  if (!closed || text === "") return undefined;
  const part = share === undefined ? "" : `, ${Math.round(share * 100)} % of its rating`;
  return { text: text + part, tooltip: `${inState(now)}${limit === undefined ? "" : `; rated ${limit}`}` };
}

function inState({ words }: StateNumbers): string {
  return `in the chosen state: ${words}`;
}

function inWords(what: string, engine: Engine, state: MachineState): string {
  return `${what} in: ${describeState(engine.circuit.machine, state)}`;
}
