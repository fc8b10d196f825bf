/** Things of a machine where they stand after an edit: those in front of it stay the same objects, those behind it move. */
import { movedFinding } from "../base/finding.ts";
import type { Place } from "../base/place.ts";
import type { Contact, Control, Load, Machine, Part, Supply, TimerProgram } from "./machine.ts";

/** A stretch of the text before of which nothing is known; what stands behind it moved by so many characters. */
export interface Cut {
  readonly from: number;
  readonly to: number;
  readonly by: number;
}

/** Nothing is in front of it. */
export function moveAll(by: number): Cut {
  return { from: -1, to: 0, by };
}

interface Placed {
  readonly place: Place;
}

export class Shift {
  /** False as soon as somebody asked for a place that reaches into the cut. */
  sound = true;
  private readonly cut: Cut;
  private readonly file: string;

  constructor(cut: Cut, file: string) {
    this.cut = cut;
    this.file = file;
  }

  place(place: Place): Place {
    const { from, to, by } = this.cut;
    if (place.file !== this.file) return place;
    if (place.from >= to) return by === 0 ? place : { file: place.file, from: place.from + by, to: place.to + by };
    if (place.to > from) this.sound = false;
    return place;
  }

  /** Of what has one place and no others. */
  placed<T extends Placed>(thing: T): T {
    const place = this.place(thing.place);
    return place === thing.place ? thing : { ...thing, place };
  }

  /** The list itself when nothing in it moves. */
  each<T>(things: readonly T[], move: (thing: T) => T): readonly T[] {
    let moved: T[] | undefined;
    for (let index = 0; index < things.length; index++) {
      const thing = things[index]!;
      const now = move(thing);
      if (now !== thing) moved ??= things.slice(0, index);
      moved?.push(now);
    }
    return moved ?? things;
  }

  list<T extends Placed>(things: readonly T[]): readonly T[] {
    return this.each(things, (thing) => this.placed(thing));
  }

  supply(supply: Supply): Supply {
    const place = this.place(supply.place);
    const cord = supply.cord && this.placed(supply.cord);
    const wiring = supply.wiring && this.placed(supply.wiring);
    const stays = place === supply.place && cord === supply.cord && wiring === supply.wiring;
    return stays ? supply : { ...supply, place, cord, wiring };
  }

  part(part: Part): Part {
    const place = this.place(part.place);
    const namePlace = this.place(part.namePlace);
    return place === part.place && namePlace === part.namePlace ? part : { ...part, place, namePlace };
  }

  control(control: Control): Control {
    const place = this.place(control.place);
    const positions = this.each(control.positions, (position) => {
      const own = position.place && this.place(position.place);
      return own === position.place ? position : { ...position, place: own };
    });
    return place === control.place && positions === control.positions ? control : { ...control, place, positions };
  }

  contact(contact: Contact): Contact {
    const place = this.place(contact.place);
    const namePlace = this.place(contact.namePlace);
    const ratings = this.list(contact.ratings);
    const stays = place === contact.place && namePlace === contact.namePlace && ratings === contact.ratings;
    return stays ? contact : { ...contact, place, namePlace, ratings };
  }

  load(load: Load): Load {
    const place = this.place(load.place);
    const namePlace = this.place(load.namePlace);
    const alsoAt = this.list(load.alsoAt);
    const through = this.list(load.through);
    const stays =
      place === load.place && namePlace === load.namePlace && alsoAt === load.alsoAt && through === load.through;
    return stays ? load : { ...load, place, namePlace, alsoAt, through };
  }

  program(program: TimerProgram): TimerProgram {
    const place = this.place(program.place);
    const rows = this.list(program.rows);
    return place === program.place && rows === program.rows ? program : { ...program, place, rows };
  }
}

type Moves = { readonly [Key in keyof Machine]?: (shift: Shift, value: Machine[Key]) => Machine[Key] };

/** How each field of a machine moves that is made of places; the statements that some hold are looked up apart. */
export const fieldMoves = {
  supply: (shift, supply) => shift.supply(supply),
  parts: (shift, parts) => shift.each(parts, (part) => shift.part(part)),
  terminals: (shift, terminals) => shift.list(terminals),
  wires: (shift, wires) => shift.list(wires),
  controls: (shift, controls) => shift.each(controls, (control) => shift.control(control)),
  contacts: (shift, contacts) => shift.each(contacts, (contact) => shift.contact(contact)),
  loads: (shift, loads) => shift.each(loads, (load) => shift.load(load)),
  transformers: (shift, transformers) => shift.list(transformers),
  programs: (shift, programs) => shift.each(programs, (program) => shift.program(program)),
  guards: (shift, guards) => shift.list(guards),
  expectations: (shift, expectations) => shift.list(expectations),
  notes: (shift, notes) => shift.list(notes),
  proposals: (shift, proposals) => shift.list(proposals),
  benchFindings: (shift, benches) => shift.list(benches),
  mentions: (shift, mentions) => shift.list(mentions),
  findings: (shift, findings) =>
    shift.each(findings, (finding) => movedFinding(finding, (place) => shift.place(place)) ?? finding),
} satisfies Moves;
