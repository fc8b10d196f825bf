/** A load whose protectors are all in series, until one contact welds: it then heats past them. */
import { edit } from "../../machine/edit.ts";
import type { Contact, Load, MachineState } from "../../machine/machine.ts";
import type { Engine } from "../../states/engine.ts";
import { anyOf, coversAll, energised, isThermalProtector, less, senses, shown } from "../ask.ts";
import type { Check } from "../check.ts";
import { contactName, doing, list, loadName, related, relatedOnce, verb } from "../words.ts";

/** Welds that are tried for one machine; more are told as not looked at. */
const MOST_WELDS = 40;

export const weldDefeatsProtector: Check = {
  id: "weld-defeats-protector",
  gravity: "warning",
  title: "A load that heats past its protectors when one contact welds",
  phase: "later",
  *run({ engine, machine, analyse, report, looked }) {
    if (!analyse) return;
    const at = "one contact welded past a protector";
    if (!coversAll(engine)) {
      looked(at, ["one contact welded: not looked at, since not every state of the machine itself was."]);
      return;
    }
    const cut = new Set<string>();
    const welds = new Map<number, Engine>();
    const told = new Set<number>();
    for (const load of machine.loads) {
      if (!load.needsProtector || told.has(load.part)) continue;
      yield;
      const protectors = machine.contacts.filter((c) => isThermalProtector(c) && senses(machine, c, load));
      const on = energised(engine, load.id);
      if (protectors.length === 0 || engine.isEmpty(on) || !engine.isEmpty(bare(engine, load, protectors))) continue;
      if (!feedsPast(engine, load, protectors)) continue;
      for (const contact of machine.contacts) {
        if (protectors.includes(contact) || !canWeld(contact)) continue;
        if (!welds.has(contact.id) && welds.size >= MOST_WELDS) {
          report({
            gravity: "information",
            place: load.namePlace,
            what: `Not every contact that might weld was looked at for ${loadName(machine, load.id)}; ${MOST_WELDS} were.`,
            why: "One of the others may leave it without protection when it welds.",
            advice: "Look by hand at contacts that could feed it past its protectors.",
            related: [],
          });
          looked(at, [...cut, `one contact welded: ${MOST_WELDS} contacts were looked at, not all.`]);
          return;
        }
        const welded = welds.get(contact.id) ?? (yield* analyse(edit(machine, weldOf(contact))));
        welds.set(contact.id, welded);
        for (const sentence of welded.covered().missing) cut.add(`with ${contact.name} welded: ${sentence}`);
        const state = welded.witness(bare(welded, load, protectors));
        if (!state) continue;
        told.add(load.part);
        tell(load, contact, protectors, welded, state);
        break;
      }
    }

    looked(at, [...cut]);

    function tell(
      load: Load,
      contact: Contact,
      protectors: readonly Contact[],
      welded: Engine,
      state: MachineState,
    ): void {
      const names = list(protectors.map(({ id }) => contactName(machine, id)));
      report({
        place: load.namePlace,
        what: `If ${contactName(machine, contact.id)} welds, ${loadName(machine, load.id)} ${doing(load)} without ${names} in series.`,
        why: `A welded contact is the most common failure of a switch, and here that one failure takes away what should open when ${machine.parts[load.part]!.name} gets too hot.`,
        advice: `Wire ${names} next to ${load.name}, so that every way to it leads through ${verb(protectors.length, "it", "one of them")}, and check ${machine.contacts[contact.id]!.name} whenever the machine is open.`,
        state: shown(welded, state),
        related: relatedOnce(load.namePlace, [
          related(contact.namePlace, `${contact.name}, welded`),
          ...protectors.map((c) => related(c.namePlace, `${c.name} is not in series then`)),
        ]),
      });
    }
  },
};

function bare(engine: Engine, load: Load, protectors: readonly Contact[]) {
  return less(
    engine,
    energised(engine, load.id),
    anyOf(
      engine,
      protectors.map(({ id }) => engine.inSeries(id, load.id)),
    ),
  );
}

/** A contact that opens in normal use or by heat; fuses and one that is always closed cannot weld into anything new. */
function canWeld({ closed, role }: Contact): boolean {
  return role !== "fuse" && role !== "breaker" && !closed.some((clause) => clause.length === 0);
}

/** The other throw of a changeover cannot close any more. */
function weldOf(contact: Contact): Parameters<typeof edit>[1] {
  return [
    { edit: "change-contact", contact: contact.id, closed: [[]] },
    ...(contact.partner === undefined
      ? []
      : [{ edit: "change-contact", contact: contact.partner, closed: [] } as const]),
  ];
}

/** With every contact closed but the protectors, the load has a way to a leg at each end: else no weld feeds it past them. */
function feedsPast(engine: Engine, load: Load, protectors: readonly Contact[]): boolean {
  const { circuit } = engine;
  const { machine, loadA, loadB, contactA, contactB, legJoint } = circuit;
  const out = new Set(protectors.map(({ id }) => id));
  const reaches = (start: number): boolean => {
    const seen = new Set([start]);
    const queue = [start];
    for (let joint = queue.pop(); joint !== undefined; joint = queue.pop()) {
      if (legJoint.includes(joint)) return true;
      const visit = (a: number, b: number): void => {
        const next = a === joint ? b : b === joint ? a : undefined;
        if (next === undefined || seen.has(next)) return;
        seen.add(next);
        queue.push(next);
      };
      for (const { id } of machine.contacts) if (!out.has(id)) visit(contactA[id]!, contactB[id]!);
      for (const { id } of machine.loads) if (id !== load.id) visit(loadA[id]!, loadB[id]!);
    }
    return false;
  };
  return machine.transformers.length > 0 || (reaches(loadA[load.id]!) && reaches(loadB[load.id]!));
}
