/** What a line of a verdict speaks of, and where that stands in the texts as they are now. */
import type { Place } from "../base/place.ts";
import { contactName, loadName } from "../checks/words.ts";
import type { Machine } from "../machine/machine.ts";
import type { Applied } from "./apply.ts";
import type { Comparison } from "./compare.ts";
import type { VerdictLine } from "./verdict.ts";

/** Something that a line may speak of: `key` is the same in both machines, `name` that of a contact or load. */
interface Spoken {
  readonly key: string;
  readonly name: string | undefined;
  readonly place: Place;
  readonly namePlace: Place;
}

/** Contacts and loads by their names for people, then parts by theirs, which stand for their first contact or load. */
function thingsOf(machine: Machine): Spoken[] {
  const { parts, contacts, loads } = machine;
  return [
    ...contacts.map((each) => ({ ...each, key: contactName(machine, each.id) })),
    ...loads.map((each) => ({ ...each, key: loadName(machine, each.id) })),
    ...parts.map((each) => {
      const first = contacts[each.contacts[0] ?? -1] ?? loads[each.loads[0] ?? -1];
      return { ...each, key: each.name, name: first?.name };
    }),
  ];
}

function spokenOf({ about, finding }: VerdictLine, { engines }: Comparison): Spoken | undefined {
  const things = [...(engines ?? [])].reverse().flatMap(({ circuit }) => thingsOf(circuit.machine));
  if (!finding) return things.find(({ key }) => key === about);
  const { file, from } = finding.place;
  return things
    .filter(({ place }) => place.file === file && place.from <= from && from < place.to)
    .sort((a, b) => a.place.to - a.place.from - (b.place.to - b.place.from))[0];
}

export interface SpokenPlace {
  /** In the machine's text, or in the edit that brings it. */
  readonly place?: Place;
  /** The contact or load that it speaks of. */
  readonly name?: string;
}

/** `comparison` may be one of an earlier text with other offsets; `base` and `applied` are of the text as it is. */
export function spokenPlace(
  line: VerdictLine,
  base: Machine,
  comparison: Comparison,
  { machine, home }: Applied,
): SpokenPlace {
  const spoken = spokenOf(line, comparison);
  if (!spoken) return {};
  const own = thingsOf(base).find(({ key }) => key === spoken.key);
  const made = machine && thingsOf(machine).find(({ key }) => key === spoken.key);
  const there = own?.namePlace ?? made?.namePlace;
  const name = spoken.name ?? made?.name ?? own?.name;
  const place = own || there?.file !== machine?.file ? there : there && home(there.from, there.to).place;
  return { ...(place && { place }), ...(name !== undefined && { name }) };
}
