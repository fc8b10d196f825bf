/** Which contacts are in series with which loads: opening the contact alone, before anything else settles, takes the load below weak. */
import type { ContactId, LoadId } from "../../machine/machine.ts";
import { EMPTY, type StateSet } from "./diagram.ts";
import { type LoadWork, ZoneWithout } from "./load-sets.ts";
import type { LoadView } from "./targets.ts";
import { WEAK } from "./values.ts";
import type { Zone } from "./zones.ts";

interface Taken {
  readonly zone: Zone;
  /** A position of a control that opens the contact and changes nothing else. */
  readonly position: { readonly control: number; readonly position: number } | undefined;
  without?: ZoneWithout;
}

export class InSeries {
  /** Loads for which not every "in series" was told. */
  readonly open = new Set<LoadId>();
  private readonly work: LoadWork;
  private readonly view: LoadView;
  private readonly budget: number;
  private readonly contacts: (Taken | undefined)[] = [];
  /** Answers for `care`, by contact and load: several checks ask the same. */
  private readonly answers: (StateSet | undefined)[] = [];
  private care: StateSet | undefined;
  private knownUsers: readonly number[] | undefined;

  /** @param budget pieces that a contact taken out may take */
  constructor(work: LoadWork, view: LoadView, budget: number) {
    this.work = work;
    this.view = view;
    this.budget = budget;
  }

  /** Of the states of `care`, those in which the contact is closed and in series with the load. */
  of(contact: ContactId, load: LoadId, care: StateSet): StateSet {
    if (care !== this.care) {
      this.care = care;
      this.answers.length = 0;
    }
    const at = contact * this.work.circuit.machine.loads.length + load;
    let answer = this.answers[at];
    if (answer === undefined) this.answers[at] = answer = this.workedOut(contact, load, care);
    return answer;
  }

  private workedOut(contact: ContactId, load: LoadId, care: StateSet): StateSet {
    const { work, view } = this;
    const { diagrams } = work.space;
    const both = diagrams.and(diagrams.and(care, work.closed[contact]!), view.atLeast(load, WEAK));
    if (both === EMPTY) return EMPTY;
    const taken = (this.contacts[contact] ??= this.taken(contact));
    return taken.zone.loads.includes(load) ? diagrams.minus(both, this.weakWithout(taken, contact, load)) : EMPTY;
  }

  private taken(contact: ContactId): Taken {
    const zone = this.work.zones.find(({ contacts }) => contacts.includes(contact))!;
    return { zone, position: this.ownOpenPosition(contact) };
  }

  /** States in which the load is at least weak with the contact taken out. */
  private weakWithout(taken: Taken, contact: ContactId, load: LoadId): StateSet {
    const { work, view } = this;
    const { zone, position } = taken;
    if (position !== undefined) return work.space.fix(view.atLeast(load, WEAK), position.control, position.position);
    if (taken.without === undefined) {
      // A question of its own: the budget of the analysis is not spent on it. Past this one the load counts as still working,
      // which is the cautious side: no protection is claimed.
      work.pieces.allow(this.budget);
      taken.without = new ZoneWithout(work, zone, contact);
    }
    const { set, open } = taken.without.weak(load);
    if (open) this.open.add(load);
    return set;
  }

  private ownOpenPosition(contact: ContactId): Taken["position"] {
    const { circuit, space, closed } = this.work;
    const { machine } = circuit;
    if (machine.contacts[contact]!.leaks) return undefined;
    for (const term of machine.contacts[contact]!.closed)
      for (const { control } of term) {
        if (control === machine.supply.control || this.users[control] !== 1) continue;
        for (let position = 0; position < machine.controls[control]!.positions.length; position++)
          if (space.fix(closed[contact]!, control, position) === EMPTY) return { control, position };
      }
    return undefined;
  }

  /** For each control how many contacts it moves; a load whose impedance it changes counts as two. */
  private get users(): readonly number[] {
    if (this.knownUsers !== undefined) return this.knownUsers;
    const { contacts, loads, controls } = this.work.circuit.machine;
    const users: number[] = controls.map(() => 0);
    const latest: number[] = controls.map(() => -1);
    for (const { id, closed } of contacts)
      for (const term of closed)
        for (const { control } of term) {
          if (latest[control] === id) continue;
          latest[control] = id;
          users[control]!++;
        }
    for (const { control, impedance } of loads) if (control !== undefined && impedance.length > 1) users[control]! += 2;
    return (this.knownUsers = users);
  }
}
