/**
 * What checks can see of a machine, and whether two machines are equal but for where they stand. A machine that is being written differs from
 * its earlier self mostly in what a load draws, and a sum tells that; else all is compared, thing by thing: nothing is written down for it.
 */
import { silencers } from "../checks/silence.ts";
import type { Machine } from "../machine/index.ts";
import { withoutLabels } from "./part-labels.ts";

/** Everything that findings can depend on, places included. */
export type Seen = readonly unknown[];

/** A machine at one place of a file, the labels of its parts apart. */
export interface Description {
  /** The same number for all machines found equal: what is worked out for one of them is kept by it. */
  kind: number;
  readonly file: string;
  /** What it was seen as when it was made. */
  readonly seen: Seen;
  /** By so many characters every place moved since. */
  readonly by: number;
  readonly labels: readonly string[];
  /** Of the amounts and numbers of things: other than another's, and the machines differ. */
  readonly sum: number;
}

let kinds = 0;

export function describeMachine(machine: Machine): Description {
  const { machine: unlabelled, labels } = withoutLabels(machine);
  const { tree, file, place, expectations } = unlabelled;
  const said = expectations.map((one) => tree.text.slice(one.place.from, one.place.to).replace(/\s+/g, " "));
  const things = [...electricity(unlabelled), said];
  // What a silencer silences hangs on lines, so with one in the file nothing may have moved.
  const silencing = silencers(tree, file);
  if (silencing.length > 0) {
    const { from } = place;
    things.push(
      tree.text.slice(place.from, place.to),
      silencing.map(({ id, reason, from: a, to: b }) => [id, reason, a - from, b - from]),
    );
  }
  return { kind: kinds++, file, seen: things, by: 0, labels, sum: sumOf(unlabelled) };
}

/** Of a machine that was taken over from the text before; there are no silencers then. */
export function movedDescription(before: Description, by: number): Description {
  return by === 0 ? before : { ...before, by: before.by + by };
}

function sumOf({ loads, contacts, wires, parts }: Machine): number {
  let sum = contacts.length + 1e3 * wires.length + 1e6 * parts.length;
  loads.forEach(({ impedance }, index) => {
    for (const z of impedance) if (z) sum += (index + 1) * (z.re + 2 * z.im);
  });
  return sum;
}

/** What is noted or proposed checks do not look at. */
function electricity(machine: Machine): unknown[] {
  const { tree, label, notes, proposals, benchFindings, mentions, findings, ...others } = machine;
  // Checks ask of earlier findings only which parts are unused and whether there is an error.
  const unused = findings.filter(({ id }) => id === "unused-part").map(({ place }) => place);
  const broken = findings.some(({ gravity }) => gravity === "error");
  return [others, unused, broken];
}

/** Machines of one file and of its earlier texts, the latest last: equal ones are of one kind. */
export class KnownMachines {
  #known: Description[] = [];

  add(description: Description): void {
    const { kind, seen, file, sum } = description;
    const own = this.#known.findIndex((known) => known.kind === kind);
    const at =
      own >= 0
        ? own
        : this.#known.findIndex((known) => Object.is(known.sum, sum) && samePlaces(known.seen, seen, file));
    if (at >= 0) description.kind = this.#known.splice(at, 1)[0]!.kind;
    this.#known.push(description);
  }

  /** Forgets the oldest beyond so many. */
  trim(most: number): void {
    this.#known = this.#known.slice(-most);
  }
}

/** Offsets of the first machine and those of the second that stand for them, by turns; undefined when the two differ in anything else. */
export function samePlaces(a: Seen, b: Seen, file: string): readonly number[] | undefined {
  const pairs: number[] = [];
  return same(a, b, file, pairs) ? pairs : undefined;
}

function same(a: unknown, b: unknown, file: string, pairs: number[]): boolean {
  if (typeof a !== "object" || typeof b !== "object" || a === null || b === null) return Object.is(a, b);
  if (Array.isArray(a)) {
    if (!Array.isArray(b) || a.length !== b.length) return false;
    for (let i = 0; i < a.length; i++) if (!same(a[i], b[i], file, pairs)) return false;
    return true;
  }
  if (Array.isArray(b)) return false;
  if (a instanceof Uint8Array) {
    if (!(b instanceof Uint8Array) || a.length !== b.length) return false;
    for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
    return true;
  }
  if (b instanceof Uint8Array) return false;
  return sameRecord(a as Record<string, unknown>, b as Record<string, unknown>, file, pairs);
}

function sameRecord(a: Record<string, unknown>, b: Record<string, unknown>, file: string, pairs: number[]): boolean {
  const here = isPlace(a, file);
  if (here !== isPlace(b, file)) return false;
  if (here) pairs.push(a.from as number, b.from as number, a.to as number, b.to as number);
  let told = 0;
  for (const name in a) {
    const value = a[name];
    if (value === undefined) continue;
    told++;
    if (here && (name === "from" || name === "to")) continue;
    const other = b[name];
    if (other === undefined || !same(value, other, file, pairs)) return false;
  }
  for (const name in b) if (b[name] !== undefined) told--;
  return told === 0;
}

/** True for stretches of this file; nodes of the tree have no file of their own. */
function isPlace({ from, to, file }: Record<string, unknown>, own: string): boolean {
  return typeof from === "number" && typeof to === "number" && (file === undefined || file === own);
}
