/** How hard a contact is worked over every state, against its rating: what burns contacts. */
import { fedBy, startingMoment } from "../checks/fed-by.ts";
import { kindOfWhole, nearestToLimit } from "../checks/shares.ts";
import { upToInWords } from "../checks/unproved.ts";
import { amps } from "../checks/words.ts";
import { workingVoltsOf } from "../checks/working-volts.ts";
import type { ContactId } from "../machine/machine.ts";
import type { Engine } from "../states/engine.ts";

export interface Duty {
  /** Worst current over what the rating allows for it. */
  readonly share: number;
  /** `makes 26 A of a 15 A rating`. */
  readonly words: string;
}

const known = new WeakMap<Engine, Map<ContactId, Duty | undefined>>();

/** Undefined without a rating, or when it never carries anything. Kept with the engine. */
export function dutyOf(engine: Engine, contact: ContactId): Duty | undefined {
  let duties = known.get(engine);
  if (!duties) known.set(engine, (duties = new Map()));
  if (!duties.has(contact)) duties.set(contact, workOut(engine, contact));
  return duties.get(contact);
}

function workOut(engine: Engine, id: ContactId): Duty | undefined {
  const contact = engine.circuit.machine.contacts[id]!;
  if (contact.ratings.length === 0) return undefined;
  const carries = engine.extreme({ of: "carries", contact: id }, engine.all());
  const makes = engine.extreme({ of: "makes", contact: id }, engine.all());
  const most = [carries.largest, makes.largest].find((found) => found !== undefined && found.value > 0);
  if (!most) return undefined;
  const volts = workingVoltsOf(engine, contact, most, makes.largest);
  let worst: Duty | undefined;
  for (const [act, found] of [
    ["carry", carries],
    ["make", makes],
  ] as const) {
    const { largest } = found;
    if (!largest || !(largest.value > 0)) continue;
    const moment = act === "make" ? startingMoment(engine, largest) : undefined;
    const kind = kindOfWhole(contact.ratings, volts, act, fedBy(engine, id, largest.state, moment));
    const { current, verdict } = nearestToLimit(engine, contact, volts, act, found, kind)!;
    if (verdict.verdict === "not-rated") return { share: 2, words: verdict.words };
    if (verdict.verdict !== "within" && verdict.verdict !== "over") continue;
    if (worst && worst.share >= verdict.share) continue;
    const verb = act === "carry" ? "carries" : "makes";
    worst = {
      share: verdict.share,
      words: `it ${verb} ${upToInWords(current, amps)} where ${amps(verdict.limit.amps)} is its rating`,
    };
  }
  return worst;
}
