/** Everywhere one thing is named. The same terminal of a type is another one in each part of that type, but one thing in the text. */
import { type Place, placeHolds } from "../base/place.ts";
import type { Machine, Mention, Target } from "../machine/machine.ts";
import { type FileView, machineAt } from "./view.ts";

export interface NamedThing {
  readonly machine: Machine;
  /** What the caret stands on. */
  readonly mention: Mention;
  /** All mentions of it in every file that takes part, each place once, in written order file by file. */
  readonly all: readonly Mention[];
}

/** The smallest mention that holds the offset, its end included. */
export function mentionAt(machine: Machine, file: string, offset: number): Mention | undefined {
  let best: Mention | undefined;
  for (const mention of machine.mentions) {
    if (mention.place.file !== file || !placeHolds(mention.place, offset)) continue;
    if (!best || mention.place.to - mention.place.from < best.place.to - best.place.from) best = mention;
  }
  return best;
}

export function thingAt(view: FileView, offset: number): NamedThing | undefined {
  const own = machineAt(view, offset);
  if (!own) return undefined;
  // Types stand before, between or behind machines: any machine may know the mention.
  for (const { machine } of [own, ...view.machines.filter((other) => other !== own)]) {
    const mention = mentionAt(machine, view.file, offset);
    if (mention) return { machine, mention, all: allMentions(view, machine, mention) };
  }
  return undefined;
}

function allMentions(view: FileView, machine: Machine, mention: Mention): Mention[] {
  const targets = new Set([targetKey(view, machine, mention.target)]);
  const places = new Set<string>();
  for (let known = -1; known !== targets.size + places.size; ) {
    known = targets.size + places.size;
    for (const { machine: each } of view.machines) {
      for (const { defines, place, target } of each.mentions) {
        if (!defines) continue;
        const key = targetKey(view, each, target);
        const at = `${target.type} ${placeKey(place)}`;
        if (targets.has(key)) places.add(at);
        else if (places.has(at)) targets.add(key);
      }
    }
  }
  const found = new Map<string, Mention>();
  for (const { machine: each } of view.machines) {
    for (const one of each.mentions) {
      if (!targets.has(targetKey(view, each, one.target))) continue;
      const key = placeKey(one.place);
      if (!found.get(key)?.defines) found.set(key, one);
    }
  }
  const own = (place: Place) => (place.file === view.file ? 0 : 1);
  return [...found.values()].sort(
    ({ place: a }, { place: b }) => own(a) - own(b) || (a.file === b.file ? a.from - b.from : a.file < b.file ? -1 : 1),
  );
}

const placeKey = ({ file, from, to }: Place): string => `${file} ${from} ${to}`;

/** Types and files are shared by the machines of a text; everything else is numbered in its machine. */
function targetKey(view: FileView, machine: Machine, target: Target): string {
  if (target.type === "type") return `type ${target.name}`;
  if (target.type === "file") return `file ${target.file}`;
  const index = view.machines.findIndex((each) => each.machine === machine);
  const leg = target.type === "terminal" && machine.supply.legs.some(({ terminal }) => terminal === target.terminal);
  return `${index} ${JSON.stringify(leg ? { ...target, type: "leg" } : target)}`;
}
