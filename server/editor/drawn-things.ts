/** What a drawing names, where it stands in the text, and the numbered findings about it. */
import type { Finding } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import type { Machine } from "../machine/machine.ts";
import type { FindingMark } from "../pictures/finding-marks.ts";
import type { FileView, MachineView } from "./view.ts";

/** A finding with the number that drawings and lists give it. */
export interface NumberedFinding {
  readonly number: number;
  readonly finding: Finding;
}

export interface DrawnThing {
  /** As the drawing names it. */
  readonly name: string;
  readonly words: string;
  readonly place: Place;
  readonly whole: Place;
  readonly findings: readonly NumberedFinding[];
}

/** The findings about one machine of a file, and about what it shares with others, numbered from 1 in their order. */
export function numberedFindings({ findings, machines }: FileView, machine: Machine): NumberedFinding[] {
  const within = ({ place }: Finding, { place: whole }: Machine) =>
    place.file === whole.file && whole.from <= place.from && place.to <= whole.to;
  const others = machines.map((one) => one.machine).filter((one) => one !== machine);
  return findings
    .filter((finding) => within(finding, machine) || !others.some((other) => within(finding, other)))
    .map((finding, index) => ({ number: index + 1, finding }));
}

export function drawnThings(view: FileView, { machine }: MachineView): DrawnThing[] {
  const findings = numberedFindings(view, machine);
  const { contacts, loads, transformers, parts } = machine;
  const named = [
    ...[...contacts, ...loads].map(({ name, part, place }) => ({ name, part, own: place })),
    ...transformers.flatMap(({ part }) =>
      ["primary", "secondary"].map((side) => ({ name: `${parts[part]!.name} ${side}`, part, own: undefined })),
    ),
  ];
  const seen = new Set<string>();
  return named.flatMap(({ name, part: id, own }): DrawnThing[] => {
    if (seen.has(name)) return [];
    seen.add(name);
    const part = parts[id]!;
    const alone = part.contacts.length + part.loads.length === 1;
    const whole = own && !alone ? own : part.place;
    return [
      {
        name,
        words: part.label ? `${name}, ${part.label}` : name,
        place: own && !alone && !sameFirst(own, part.place) ? own : part.namePlace,
        whole,
        findings: findings.filter(({ finding }) => about(finding, whole, part.namePlace)),
      },
    ];
  });
}

/** For the drawing itself. */
export function marksOf(things: readonly DrawnThing[]): Map<string, readonly FindingMark[]> {
  return new Map(
    things.flatMap(({ name, findings }) =>
      findings.length > 0
        ? [[name, findings.map(({ number, finding: { gravity, what } }) => ({ number, gravity, what }))] as const]
        : [],
    ),
  );
}

function sameFirst(a: Place, b: Place): boolean {
  return a.file === b.file && a.from === b.from;
}

/** The finding points at the thing itself, or at its part's name. */
function about({ place }: Finding, whole: Place, name: Place): boolean {
  const inside = (outer: Place) => place.file === outer.file && outer.from <= place.from && place.to <= outer.to;
  return inside(whole) || inside(name);
}
