/** The supply: legs with their phasors, and the control that is the plug or breaker. */
import type { SupplyStatement } from "../../grammar/tree.ts";
import type { Place } from "../base/place.ts";
import type { Draft, PartDraft } from "./draft.ts";
import type { Complex, SizedConductor, SupplyLeg } from "./machine.ts";
import { allValues, namesOfProperty, quantityOf, wordsOf } from "./properties.ts";

interface LegPlan {
  readonly name: string;
  readonly volts: Complex;
  readonly role: SupplyLeg["role"];
  readonly place: Place;
}

function phasor(volts: number, degrees: number): Complex {
  const angle = (degrees * Math.PI) / 180;
  return { re: volts * Math.cos(angle), im: Math.abs(degrees) % 180 === 0 ? 0 : volts * Math.sin(angle) };
}

/** Builds the supply part; without a statement a 120/240 V one stands in, marked as not stated. */
export function buildSupply(draft: Draft, statement: SupplyStatement | undefined, around: Place): void {
  const place = statement ? draft.place(statement) : { file: draft.file, from: around.from, to: around.from };
  const part = supplyPart(draft, place);
  const read = readSupply(draft, statement);
  const control = draft.addControl(part, {
    name: "SUPPLY",
    role: "supply",
    positions: [{ name: "on" }, { name: "off" }],
    rest: 0,
    settled: false,
    changes: [
      {
        from: Uint8Array.of(1, 0),
        to: Uint8Array.of(0, 1),
        byHand: true,
        words: "unplug it or switch the supply {position}",
      },
      { from: Uint8Array.of(0, 1), to: Uint8Array.of(1, 0), byHand: true, words: "switch the supply {position}" },
    ],
    place,
  });
  for (const leg of read.legs) {
    const terminal = draft.addTerminal(part, leg.name, leg.place, leg.name);
    draft.legs.push({ name: leg.name, terminal, volts: leg.volts, role: leg.role });
    draft.legNames.set(leg.name, terminal);
    if (read.legsNamed) draft.mention(leg.place, { type: "leg", terminal }, true);
  }
  draft.supply = {
    part: part.id,
    text: read.text,
    form: read.form,
    legs: draft.legs,
    frequency: read.frequency,
    breakerAmps: read.breakerAmps,
    breakerPoles: read.breakerPoles,
    reversible: read.reversible,
    cord: read.cord,
    wiring: read.wiring,
    control,
    stated: statement !== undefined,
    place,
  };
}

function supplyPart(draft: Draft, place: Place): PartDraft {
  const part: PartDraft = {
    id: draft.parts.length,
    name: "SUPPLY",
    kind: "supply",
    place,
    namePlace: place,
    items: [],
    terminals: [],
    controls: [],
    contacts: [],
    loads: [],
    marks: [],
    plate: [],
    terminalNames: new Map(),
    contactNames: new Map(),
    loadNames: new Map(),
    referred: true,
  };
  draft.parts.push(part);
  draft.partNames.set("SUPPLY", part);
  return part;
}

interface ReadSupply {
  text: string;
  form: "single" | "split" | "wye";
  frequency: number;
  legs: LegPlan[];
  /** The names stand in the text. */
  legsNamed: boolean;
  breakerAmps?: number;
  breakerPoles?: number;
  reversible: boolean;
  cord?: SizedConductor;
  wiring?: SizedConductor;
}

function readSupply(draft: Draft, statement: SupplyStatement | undefined): ReadSupply {
  const standIn: Place = { file: draft.file, from: statement?.from ?? 0, to: statement?.from ?? 0 };
  const volts = statement?.quantities.find((quantity) => quantity.dimension === "voltage");
  const hertz = statement?.quantities.find((quantity) => quantity.dimension === "frequency");
  const property = (word: string) => statement?.properties.find((each) => each.word === word);
  const values = volts ? allValues(volts).sort((a, b) => a - b) : [120, 240];
  const low = values[0]!;
  const high = values[values.length - 1]!;
  const ratio = high / low;
  const named = namesOfProperty(property("legs"));
  const written = statement?.form?.text;
  const form =
    written === "single" || written === "split" || written === "wye"
      ? written
      : values.length < 2
        ? "single"
        : ratio > 1.9
          ? "split"
          : "wye";
  const place = statement ? draft.place(statement) : standIn;
  const names = named.length > 0 ? named.map((node) => ({ name: node.text, place: draft.place(node) })) : undefined;
  const defaults = form === "single" ? ["L", "N", "PE"] : ["L1", "L2", "N", "PE"];
  const chosen = names ?? defaults.map((name) => ({ name, place }));
  const breaker = property("breaker");
  return {
    text: statement ? supplyText(draft, statement) : "120/240 V 60 Hz",
    form,
    frequency: hertz?.value && hertz.value > 0 ? hertz.value : low > 200 && form === "single" && !hertz ? 50 : 60,
    legs: planLegs(form, low, chosen),
    legsNamed: names !== undefined,
    breakerAmps: quantityOf(breaker, "current")?.value,
    breakerPoles: wordsOf(breaker).includes("2-pole") ? 2 : wordsOf(breaker).includes("1-pole") ? 1 : undefined,
    reversible: wordsOf(property("plug")).includes("reversible"),
    cord: conductor("cord"),
    wiring: conductor("wiring"),
  };

  function conductor(word: string): SizedConductor | undefined {
    const written = property(word);
    const size = quantityOf(written, "wire-size");
    if (!written || size?.value === undefined || !(size.value > 0)) return undefined;
    return { area: size.value, text: size.text, place: draft.place(written) };
  }
}

function supplyText(draft: Draft, statement: SupplyStatement): string {
  const numbers = statement.quantities.map((quantity) => quantity.text).join(" ");
  return numbers === "" ? draft.tree.text.slice(statement.from, statement.to) : numbers;
}

function roleOf(name: string): SupplyLeg["role"] {
  if (/^(PE|G|GND|E|GROUND)$/i.test(name)) return "protective";
  return /^(N|NEUTRAL)/i.test(name) ? "neutral" : "live";
}

/** Phasors: one live leg in phase; two of a split supply opposed; two or three of a wye 120 degrees apart. */
function planLegs(
  form: ReadSupply["form"],
  volts: number,
  chosen: readonly { readonly name: string; readonly place: Place }[],
): LegPlan[] {
  const live = chosen.filter((leg) => roleOf(leg.name) === "live").length;
  const hasNeutral = chosen.some((leg) => roleOf(leg.name) === "neutral");
  let count = 0;
  return chosen.map(({ name, place }) => {
    const role = roleOf(name);
    if (role !== "live") return { name, place, role, volts: { re: 0, im: 0 } };
    const index = count++;
    // Two live legs and no neutral at one stated voltage: half of it each way against ground (240 V, L1 L2).
    if (form === "single") {
      if (live === 2 && !hasNeutral) return { name, place, role, volts: phasor(volts / 2, index * 180) };
      return { name, place, role, volts: phasor(volts, 0) };
    }
    const angle = form === "split" ? index * 180 : index * -120;
    return { name, place, role, volts: phasor(volts, angle) };
  });
}
