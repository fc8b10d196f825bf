/** Ways to damage a machine mechanically: every single edit of each kind that the machine has room for. */
import { type Edit, edit } from "../../../server/machine/edit.ts";
import type { Machine } from "../../../server/machine/machine.ts";

export interface Damage {
  readonly kind: string;
  readonly words: string;
  readonly edits: readonly Edit[];
}

export function damaged(machine: Machine, { edits }: Damage): Machine {
  return edit(machine, edits);
}

export function damages(machine: Machine): Damage[] {
  const { contacts, loads, terminals, wires, parts } = machine;
  const name = (t: number): string => terminals[t]!.fullName;
  const thermal = new Set(["limit", "link", "overload", "built-in-protector", "thermostat"]);
  const guards = new Set(
    machine.guards.flatMap(({ holds }) => holds.flatMap((clause) => clause.map(({ control }) => control))),
  );
  const found: Damage[] = [];
  for (const c of contacts) {
    const guards0 = c.closed.some((clause) => clause.some(({ control }) => guards.has(control)));
    const kind = thermal.has(c.role) ? "jump a thermal device" : guards0 ? "jump the guard" : "jump a contact";
    found.push({ kind, words: `${c.name} jumped`, edits: [{ edit: "join", a: c.a, b: c.b }] });
    if (c.ratings.length > 0)
      for (const by of [0.5, 0.1, 0.01])
        found.push({
          kind: "undersize a rating",
          words: `${c.name} rated ${by} of its amps`,
          edits: [
            {
              edit: "change-rating",
              contact: c.id,
              ratings: c.ratings.map((r) => ({
                ...r,
                amps: scaled(r.amps, by),
                makes: scaled(r.makes, by),
                breaks: scaled(r.breaks, by),
              })),
            },
          ],
        });
  }
  for (const part of parts)
    if (part.contacts.length + part.loads.length > 0)
      found.push({
        kind: "remove a part",
        words: `${part.name} gone`,
        edits: [{ edit: "remove-part", part: part.id }],
      });
  for (const w of wires) {
    if (w.kind === "internal") continue;
    const kind = w.kind === "bond" ? "remove a bond" : "remove a wire";
    found.push({ kind, words: `${name(w.a)} to ${name(w.b)} gone`, edits: [{ edit: "remove-wire", wire: w.id }] });
  }
  for (const part of parts)
    part.terminals.forEach((a, i) => {
      for (const b of part.terminals.slice(i + 1))
        found.push({
          kind: "swap terminals",
          words: `${name(a)} and ${name(b)} swapped`,
          edits: [{ edit: "swap-terminals", a, b }],
        });
    });
  for (let a = 0; a < terminals.length; a++)
    for (let b = a + 1; b < terminals.length; b++)
      found.push({ kind: "short two connections", words: `${name(a)} on ${name(b)}`, edits: [{ edit: "join", a, b }] });
  // A contact and a load that follow each other change places, so that the contact comes to sit on the load's far side.
  for (const c of contacts)
    for (const l of loads)
      for (const [far, near] of [
        [c.a, c.b],
        [c.b, c.a],
      ] as const)
        for (const [head, tail] of [
          [l.a, l.b],
          [l.b, l.a],
        ] as const)
          if (joined(machine, near, head) && c.role === "switching")
            found.push({
              kind: "move a switch past its load",
              words: `${c.name} behind ${l.name}`,
              edits: [
                { edit: "move-contact", contact: c.id, a: head, b: tail },
                { edit: "move-load", load: l.id, a: far, b: head },
              ],
            });
  return found;
}

function scaled(value: number | undefined, by: number): number | undefined {
  return value === undefined ? undefined : value * by;
}

function joined(machine: Machine, a: number, b: number): boolean {
  return a === b || machine.wires.some((w) => (w.a === a && w.b === b) || (w.a === b && w.b === a));
}

/** Takes `most` of the damages, every kind in turn, in an order that the seed fixes. */
export function pick(all: readonly Damage[], most: number, seed: number): Damage[] {
  let state = seed;
  const random = (): number => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 2 ** 32;
  const kinds = new Map<string, Damage[]>();
  for (const damage of all) kinds.set(damage.kind, [...(kinds.get(damage.kind) ?? []), damage]);
  const queues = [...kinds.values()].map((queue) =>
    queue
      .map((d) => [random(), d] as const)
      .sort((x, y) => x[0] - y[0])
      .map(([, d]) => d),
  );
  const picked: Damage[] = [];
  for (let round = 0; picked.length < most && queues.some((q) => q.length > round); round++)
    for (const queue of queues) if (round < queue.length && picked.length < most) picked.push(queue[round]!);
  return picked;
}
