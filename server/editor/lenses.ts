/** Lines above loads and contacts: when a load works, what a contact has to do. Where they stand is known at once, what they say needs every state. */
import type { Place } from "../base/place.ts";
import { readableCondition } from "../checks/ask.ts";
import { doing } from "../checks/words.ts";
import { describeCondition } from "../machine/index.ts";
import type { Engine, Region } from "../states/engine.ts";
import { amount } from "./amounts.ts";
import { byInputs, withoutSupply } from "./condition-words.ts";
import { contactDuty } from "./contact-readout.ts";
import type { FileView } from "./view.ts";

export interface Lens {
  /** The name that the line stands above. */
  readonly from: number;
  readonly to: number;
  readonly about: LensSubject;
}

/** Plain data that an editor keeps until it wants to show the line. */
export interface LensSubject {
  readonly machine: number;
  readonly kind: "load" | "contact" | "proposal";
  /** `HT`, `TM.heat`; of a proposal its label. */
  readonly name: string;
  /** It is written in a type, for several parts perhaps: the line says of which one it speaks. */
  readonly inType?: true;
}

/** Longest line in letters; the hover has the rest. */
const longest = 100;

export function lenses(view: FileView): Lens[] {
  const found: Lens[] = [];
  for (const [index, { machine }] of view.machines.entries()) {
    const add = (kind: LensSubject["kind"], name: string, place: Place, part: Place) => {
      if (place.file !== view.file) return;
      const own = part.from <= place.from && place.to <= part.to;
      const about: LensSubject = { machine: index, kind, name, ...(own ? {} : { inType: true }) };
      found.push({ from: place.from, to: place.to, about });
    };
    for (const load of machine.loads) {
      if (load.known) add("load", load.name, load.namePlace, machine.parts[load.part]!.place);
    }
    for (const contact of machine.contacts) {
      const part = machine.parts[contact.part]!;
      const place = part.contacts.length === 1 ? part.namePlace : contact.namePlace;
      if (contact.ratings.length > 0) add("contact", contact.name, place, part.place);
    }
  }
  for (const statement of view.tree.statements)
    if (statement.statement === "proposal" && statement.label) {
      const { from, to, text } = statement.label;
      found.push({ from, to, about: { machine: -1, kind: "proposal", name: text } });
    }
  return found.sort((a, b) => a.from - b.from);
}

/** The verdict on a proposal in one line; undefined until every check is done. */
export function proposalLens({ proposals }: FileView, label: string): string | undefined {
  if (!proposals) return undefined;
  const found = proposals.find(({ statement }) => statement.label?.text === label);
  if (!found) return "no machine here that it could change";
  return found.comparison.verdict?.headline ?? "it cannot be carried out as written";
}

/** What the line says; undefined while the states are being worked out, or when the text has changed and the thing is gone. */
export function lensText(view: FileView, { machine, kind, name, inType }: LensSubject): string | undefined {
  const found = view.machines[machine];
  const engine = found?.engine;
  if (!found || !engine) return undefined;
  const said = kind === "load" ? conditionOf(engine, name) : dutyOf(engine, name);
  const text = said !== undefined && inType ? `${name} ${said}` : said;
  return text !== undefined && text.length > longest ? `${text.slice(0, longest - 3).trimEnd()}...` : text;
}

/** `heats when TM in timed, DOOR shut`. */
function conditionOf(engine: Engine, name: string): string | undefined {
  const load = engine.circuit.machine.loads.find((each) => each.name === name);
  if (!load) return undefined;
  const verb = doing(load);
  const works = engine.when(load.id, ["works", "over"]);
  if (!engine.isEmpty(works)) return `${verb} ${whenWords(engine, works)}`;
  const weak = engine.when(load.id, ["weak"]);
  if (!engine.isEmpty(weak)) return `only weak, ${whenWords(engine, weak)}`;
  // No state at rest shows a start winding at work: it lasts a moment.
  return load.kind === "start-winding" ? "only while the motor starts" : `never ${verb}`;
}

/** The condition without what goes without saying: that the supply is on. */
function whenWords(engine: Engine, region: Region): string {
  const { machine } = engine.circuit;
  const condition = readableCondition(engine, region);
  if (condition === undefined) return "in more ways than can be told";
  const told = condition.map((way) => withoutSupply(machine, way));
  if (told.some((way) => way.length === 0)) return "always";
  const words = describeCondition(machine, told);
  // `runs when DM running` says nothing: what to set for it is said then.
  const setting = told.every((way) => way.every(({ control }) => machine.controls[control]!.settled))
    ? byInputs(engine, region, condition)
    : undefined;
  if (setting === undefined) return `when ${words}`;
  const set = describeCondition(machine, setting.condition);
  return setting.decides ? `when ${set}` : `when ${words}; needs ${set}`;
}

/** `carries 22.5 A, makes 30 A: 90 % of its rating`. */
function dutyOf(engine: Engine, name: string): string | undefined {
  const contact = engine.circuit.machine.contacts.find((each) => each.name === name);
  if (!contact) return undefined;
  const { acts, proved, nearest, notRatedAt } = contactDuty(engine, contact);
  if (acts.length === 0)
    return proved ? "carries nothing in any state" : "not known what it carries: the search was cut short";
  // What it makes or breaks is told when it is another current than it carries, or what matters most.
  const carried = acts.find(({ verb }) => verb === "carries");
  const told = acts.filter(
    (act) => act === carried || act.verb === nearest?.verb || amount.amps(act.amps) !== amount.amps(carried?.amps ?? 0),
  );
  const margin = nearest
    ? `: ${Math.round(nearest.share * 100)} % of its rating`
    : notRatedAt === undefined
      ? ""
      : `: not rated at ${amount.volts(notRatedAt)}`;
  return told.map(({ verb, words }) => `${verb} ${words}`).join(", ") + margin;
}
