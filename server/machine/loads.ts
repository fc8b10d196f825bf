/** Makes loads: impedance, class scale, meter reading, inrush. */
import type { Item, NameNode, PropertyItem, QuantityItem, TextNode } from "../../grammar/tree.ts";
import { resolveOwn } from "./binding.ts";
import type { Draft, InFile, Open, PartDraft } from "./draft.ts";
import { magnitude, parallel, runningImpedance } from "./impedance.ts";
import type { Complex, Load, LoadId, LoadKind, TerminalId } from "./machine.ts";
import { type Plate, readPlate } from "./plate.ts";
import { loadsAt } from "./points.ts";
import { conditionOf, pointsOf, quantitiesOf } from "./properties.ts";
import { scaleOf } from "./tables/class-scales.ts";
import { coilInrush, impedanceProtectedInrush, lampInrush } from "./tables/typical-loads.ts";

export interface LoadSpec {
  readonly kind: LoadKind;
  /** Behind the dot; left out for the load that is the part. */
  readonly shortName?: string;
  readonly a: TerminalId;
  readonly b: TerminalId;
  readonly items: readonly (Item | PropertyItem | QuantityItem)[];
  readonly file: string;
  readonly node: TextNode;
  readonly nameNode?: NameNode;
  /** Volts when the thing itself has none: the part's. */
  readonly volts?: number;
}

/** Adds the load and binds what names other parts (`through`, `also at`) once all are known. */
export function makeLoad(draft: Draft, part: PartDraft, spec: LoadSpec): LoadId {
  const plate = readPlate(spec.items);
  const volts = plate.volts ?? spec.volts ?? fallbackVolts(draft, spec.kind);
  const found = runningImpedance(spec.kind, plate, volts, draft.mostVolts());
  const { impedance, capacitance } = withKind(draft, spec.kind, plate, found.impedance);
  const known = (found.known && plateSays(spec.kind, plate)) || capacitance !== undefined;
  const inrush = inrushOf(part, spec.kind, plate, impedance, volts, known);
  const name = spec.shortName === undefined ? part.name : `${part.name}.${spec.shortName}`;
  const load: Omit<Load, "id" | "part"> = {
    name,
    kind: spec.kind,
    a: spec.a,
    b: spec.b,
    ratedVolts: seriesKind(spec.kind, plate) ? undefined : volts,
    ratedWatts: plate.runsWatts ?? plate.watts ?? heaterWatts(spec.kind, plate, volts),
    ratedAmps: plate.runs ?? plate.amps ?? (known && volts !== undefined ? volts / magnitude(impedance) : undefined),
    impedance: [impedance],
    ...inrush,
    impedanceSource: found.source,
    known,
    scale: scaleFor(spec.kind, plate, volts),
    meterOhms: meterOf(spec.kind, plate, volts),
    needsProtector: needsProtector(part, spec.kind),
    alsoAt: [],
    through: [],
    capacitance,
    capacitorDuty: spec.kind === "capacitor" ? capacitorDuty(spec.items) : undefined,
    place: draft.place(spec.node, spec.file),
    namePlace: spec.nameNode ? draft.place(spec.nameNode, spec.file) : part.namePlace,
  };
  const id = draft.addLoad(part, load, spec.shortName);
  bindPurpose(draft, part, draft.loads[id]!, spec);
  return id;
}

function fallbackVolts(draft: Draft, kind: LoadKind): number | undefined {
  return kind === "resistor" || kind === "capacitor" || kind === "diode" ? undefined : draft.plainVolts();
}

/** Things whose plate voltage, if any, is a limit and not what they are made to be fed with. */
function seriesKind(kind: LoadKind, plate: Plate): boolean {
  if (kind === "capacitor" || kind === "diode") return false;
  return kind === "resistor" && plate.volts === undefined;
}

function plateSays(kind: LoadKind, plate: Plate): boolean {
  if (kind === "diode") return true;
  return (
    plate.watts !== undefined ||
    plate.amps !== undefined ||
    plate.voltAmps !== undefined ||
    plate.ohms !== undefined ||
    plate.runs !== undefined ||
    plate.runsWatts !== undefined ||
    plate.hotOhms !== undefined ||
    plate.meter !== undefined
  );
}

function withKind(
  draft: Draft,
  kind: LoadKind,
  plate: Plate,
  impedance: Complex,
): { impedance: Complex; capacitance?: number } {
  if (kind === "diode") return { impedance: { re: 0.01, im: 0 } };
  if (kind !== "capacitor") return { impedance };
  const farads = plate.farads;
  if (farads === undefined || !(farads > 0)) return { impedance: { re: 0, im: -100 } };
  return { impedance: { re: 0, im: -1 / (2 * Math.PI * draft.supply.frequency * farads) }, capacitance: farads };
}

/** Puts the bleed resistor beside a capacitor. */
export function bleed(load: Open<Load>, ohms: number): void {
  const z = load.impedance[0];
  if (z && ohms > 0) load.impedance = [parallel(z, { re: ohms, im: 0 })];
  load.meterOhms = { ohms, cold: false, stated: true };
}

function heaterWatts(kind: LoadKind, plate: Plate, volts: number | undefined): number | undefined {
  if (kind !== "heater" && kind !== "bias-heater" && kind !== "igniter") return undefined;
  if (volts === undefined) return undefined;
  if (plate.ohms) return (volts * volts) / plate.ohms.value;
  return plate.amps === undefined ? undefined : volts * plate.amps;
}

function capacitorDuty(items: LoadSpec["items"]): "run" | "start" | undefined {
  for (const item of items) {
    if (item.item === "property" && (item.word === "run" || item.word === "start")) return item.word;
  }
  return undefined;
}

function scaleFor(kind: LoadKind, plate: Plate, volts: number | undefined): Load["scale"] {
  const scale = scaleOf(kind);
  if (kind === "neon" && volts) {
    const share = (plate.strikes ?? 65) / volts;
    return { ...scale, weak: share, works: share };
  }
  return scale;
}

function meterOf(kind: LoadKind, plate: Plate, volts: number | undefined): Load["meterOhms"] {
  if (plate.meter) return { ...plate.meter, stated: true };
  if (plate.ohms) return { ohms: plate.ohms.value, cold: false, tolerance: plate.ohms.tolerance, stated: true };
  if (kind === "heater" && volts !== undefined) {
    if (plate.watts) return { ohms: (volts * volts) / plate.watts, cold: false, stated: false };
    if (plate.amps) return { ohms: volts / plate.amps, cold: false, stated: false };
  }
  return undefined;
}

function needsProtector(part: PartDraft, kind: LoadKind): boolean {
  if (kind === "heater") return !part.marks.includes("attended");
  if (kind !== "winding" && kind !== "fan" && kind !== "pump") return false;
  return !part.marks.includes("impedance-protected") && !part.marks.includes("thermally-protected");
}

function scaled(z: Complex, share: number): Complex {
  return { re: z.re * share, im: z.im * share };
}

function inrushOf(
  part: PartDraft,
  kind: LoadKind,
  plate: Plate,
  impedance: Complex,
  volts: number | undefined,
  known: boolean,
): { inrush?: Complex; inrushSource?: string } {
  if (plate.inrush !== undefined && plate.inrush > 0 && volts !== undefined) {
    return { inrush: scaled(impedance, volts / plate.inrush / magnitude(impedance)), inrushSource: "nameplate" };
  }
  if (!known) return {};
  if (kind === "lamp") return { inrush: scaled(impedance, 1 / lampInrush.value), inrushSource: lampInrush.source };
  if (kind === "coil" || kind === "valve") {
    return { inrush: scaled(impedance, 1 / coilInrush.value), inrushSource: coilInrush.source };
  }
  if ((kind === "fan" || kind === "pump" || kind === "winding") && part.marks.includes("impedance-protected")) {
    return {
      inrush: scaled(impedance, 1 / impedanceProtectedInrush.value),
      inrushSource: impedanceProtectedInrush.source,
    };
  }
  return {};
}

/** `also at 120 V`, `through HT in auto`: reduced volts on purpose. */
function bindPurpose(draft: Draft, part: PartDraft, load: Open<Load>, spec: LoadSpec): void {
  for (const item of spec.items) {
    if (item.item !== "property") continue;
    const inFile: InFile<PropertyItem> = { node: item, file: spec.file };
    if (item.word === "also at") {
      const volts = quantitiesOf(item, "voltage");
      load.alsoAt = [
        ...load.alsoAt,
        ...volts.map((each) => ({ volts: each.value, place: draft.place(each, spec.file) })),
      ];
    }
    if (item.word === "through") {
      draft.later(() => {
        const written = conditionOf(item);
        const when = written ? resolveOwn(draft, part, written, inFile.file) : ([[]] as const);
        for (const point of pointsOf(item)) {
          for (const id of loadsAt(draft, point, inFile.file)) {
            load.through = [...load.through, { load: id, when, place: draft.place(item, inFile.file) }];
          }
        }
      });
    }
  }
}
