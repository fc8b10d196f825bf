/**
 * Everywhere one thing is named. The same terminal of a type is another one in each part of that type, but one thing in the text; and
 * it is the same thing in every file that uses the type. What joins all these is the place where the thing is given its name.
 */
import { type Place, placeHolds } from "../base/place.ts";
import type { Machine, Mention, Target } from "../machine/machine.ts";
import { type FileView, machineAt } from "./view.ts";

export interface NamedThing {
  /** The machine that knows the mention; none for what stands in a type that no machine here uses. */
  readonly machine?: Machine;
  /** What the caret stands on. */
  readonly mention: Mention;
  /** All mentions of it in every file that takes part, each place once, in written order file by file, this file first. */
  readonly all: readonly Mention[];
}

/** The mentions of one numbering: a machine, or the types of a file that no machine uses. */
interface Numbering {
  readonly view: FileView;
  readonly machine?: Machine;
  readonly mentions: readonly Mention[];
}

function numberings(view: FileView): Numbering[] {
  const machines = view.machines.map(({ machine }) => ({ view, machine, mentions: machine.mentions }));
  return view.mentions ? [...machines, { view, mentions: view.mentions }] : machines;
}

/** The smallest mention that holds the offset, its end included. */
function mentionAt(mentions: readonly Mention[], file: string, offset: number): Mention | undefined {
  let best: Mention | undefined;
  for (const mention of mentions) {
    if (mention.place.file !== file || !placeHolds(mention.place, offset)) continue;
    if (!best || mention.place.to - mention.place.from < best.place.to - best.place.from) best = mention;
  }
  return best;
}

/** `others`: the other files that may name the same thing, because they use this one or are used by it. */
export function thingAt(view: FileView, offset: number, others: readonly FileView[] = []): NamedThing | undefined {
  const own = machineAt(view, offset)?.machine;
  const here = numberings(view);
  // Types stand before, between or behind machines: any machine may know the mention.
  const order = [...here.filter(({ machine }) => machine === own), ...here.filter(({ machine }) => machine !== own)];
  for (const numbering of order) {
    const mention = mentionAt(numbering.mentions, view.file, offset);
    if (!mention) continue;
    const all = allMentions([...here, ...others.flatMap(numberings)], numbering, mention);
    return { machine: numbering.machine, mention, all };
  }
  return undefined;
}

function allMentions(known: readonly Numbering[], own: Numbering, mention: Mention): Mention[] {
  const kind = kindOf(mention.target);
  const keyed = known.map((numbering, index) => ({
    mentions: numbering.mentions
      .filter((one) => kindOf(one.target) === kind)
      .map((one) => ({ one, key: targetKey(numbering, index, one.target) })),
  }));
  const targets = new Set([targetKey(own, known.indexOf(own), mention.target)]);
  const places = new Set<string>();
  for (let size = -1; size !== targets.size + places.size; ) {
    size = targets.size + places.size;
    for (const { mentions } of keyed) {
      for (const { one, key } of mentions) {
        if (!one.defines) continue;
        const at = `${one.target.type} ${placeKey(one.place)}`;
        if (targets.has(key)) places.add(at);
        else if (places.has(at)) targets.add(key);
      }
    }
  }
  const found = new Map<string, Mention>();
  for (const { mentions } of keyed) {
    for (const { one, key } of mentions) {
      if (!targets.has(key)) continue;
      const at = placeKey(one.place);
      if (!found.get(at)?.defines) found.set(at, one);
    }
  }
  const first = ({ file }: Place) => (file === own.view.file ? 0 : 1);
  return [...found.values()].sort(
    ({ place: a }, { place: b }) =>
      first(a) - first(b) || (a.file === b.file ? a.from - b.from : a.file < b.file ? -1 : 1),
  );
}

const placeKey = ({ file, from, to }: Place): string => `${file} ${from} ${to}`;

/** A leg is a terminal too. */
const kindOf = ({ type }: Target): Target["type"] => (type === "leg" ? "terminal" : type);

/** Types and files are shared by the machines of a text; everything else is numbered in its machine. */
function targetKey({ view, machine }: Numbering, index: number, target: Target): string {
  if (target.type === "type") return `type ${target.name} ${view.file}`;
  if (target.type === "file") return `file ${target.file}`;
  const leg =
    target.type === "terminal" && machine?.supply.legs.some(({ terminal }) => terminal === target.terminal) === true;
  return `${index} ${JSON.stringify(leg ? { ...target, type: "leg" } : target)}`;
}
