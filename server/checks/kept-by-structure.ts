/** Reports of checks that hang on the structure of a machine alone, told again where its things stand now. */
import type { Place } from "../base/place.ts";
import type { Machine } from "../machine/machine.ts";
import type { Structure } from "../machine/structure.ts";
import type { Engine } from "../states/engine.ts";
import { BySets } from "./by-sets.ts";
import type { Check, Report } from "./check.ts";

/** A place of something in a machine, wherever that stands. */
type PlaceOf = (machine: Machine) => Place;

interface KeptReport {
  readonly report: Report;
  readonly place: PlaceOf;
  readonly related: readonly PlaceOf[];
}

type ByCheck = Map<Check, readonly KeptReport[]>;

const known = new BySets<ByCheck>(() => new Map());

/** Reports of one machine, and what may be taken over from one of the same structure and with the same sets. */
export class KeptReports {
  private readonly engine: Engine;
  private readonly machine: Machine;
  private readonly byCheck: ByCheck;
  private found: Map<Place, PlaceOf> | undefined;

  private constructor(engine: Engine, byCheck: ByCheck) {
    this.engine = engine;
    this.machine = engine.circuit.machine;
    this.byCheck = byCheck;
  }

  /** Undefined where nothing can be kept. */
  static of(engine: Engine, structure: Structure): KeptReports | undefined {
    const byCheck = known.of(engine, structure);
    return byCheck && new KeptReports(engine, byCheck);
  }

  find(check: Check): readonly Report[] | undefined {
    const { machine } = this;
    return this.byCheck.get(check)?.map(({ report, place, related }) => ({
      ...report,
      place: place(machine),
      related: report.related.map((one, index) => ({ ...one, place: related[index]!(machine) })),
    }));
  }

  /** Keeps nothing when a report points at something else than a thing of the machine. */
  keep(check: Check, reports: readonly Report[]): void {
    // What is in series may have been left open since.
    if (!this.engine.covered().complete) return;
    const kept: KeptReport[] = [];
    for (const report of reports) {
      const place = this.placeOf(report.place);
      const related = report.related.flatMap((one) => this.placeOf(one.place) ?? []);
      if (!place || related.length !== report.related.length || report.fixes) return;
      kept.push({ report, place, related });
    }
    this.byCheck.set(check, kept);
  }

  private placeOf(place: Place): PlaceOf | undefined {
    this.found ??= placesOf(this.machine);
    return this.found.get(place);
  }
}

/** Found again as objects: two things may stand at equal places now and apart later. */
function placesOf(machine: Machine): Map<Place, PlaceOf> {
  const places = new Map<Place, PlaceOf>();
  for (const list of ["parts", "contacts", "loads"] as const)
    machine[list].forEach(({ place, namePlace }, id) => {
      places.set(place, (now) => now[list][id]!.place);
      places.set(namePlace, (now) => now[list][id]!.namePlace);
    });
  for (const list of ["terminals", "wires", "controls", "programs", "guards", "transformers"] as const)
    machine[list].forEach(({ place }, index) => {
      places.set(place, (now) => now[list][index]!.place);
    });
  machine.controls.forEach(({ positions }, id) => {
    positions.forEach(({ place }, at) => {
      if (place) places.set(place, (now) => now.controls[id]!.positions[at]!.place!);
    });
  });
  places.set(machine.supply.place, (now) => now.supply.place);
  return places;
}
