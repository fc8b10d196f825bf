/** What stands on plates: stamps of ratings, quantities in other units, wire colours. */
import { colourCode, colours } from "../../grammar/colours.ts";
import { formatQuantity, threeFigures } from "../../grammar/quantity.ts";
import type { QuantityNode } from "../../grammar/tree.ts";
import { dimensionNames } from "../../grammar/units.ts";
import { nodeAt } from "../../grammar/walk.ts";
import { placeHolds } from "../base/place.ts";
import type { Machine, RatingPoint } from "../machine/machine.ts";
import { amount } from "./amounts.ts";
import type { Fact, Readout } from "./readout.ts";
import type { FileView, MachineView } from "./view.ts";

export interface PlateReadout {
  readonly from: number;
  readonly to: number;
  readonly readout: Readout;
}

export function plateReadout(
  view: FileView,
  machine: MachineView | undefined,
  offset: number,
): PlateReadout | undefined {
  const rating = machine && ratingAt(machine.machine, view.file, offset);
  if (rating) return rating;
  const path = nodeAt(view.tree, offset);
  const last = path.at(-1);
  if (!last) return undefined;
  const { node, field } = last;
  if ("dimension" in node) return { from: node.from, to: node.to, readout: quantityReadout(node as QuantityNode) };
  const text = view.text.slice(node.from, node.to);
  const code = field === "colour" ? colourCode(text) : undefined;
  return code === undefined ? undefined : { from: node.from, to: node.to, readout: colourReadout(text, code) };
}

function ratingAt({ contacts }: Machine, file: string, offset: number): PlateReadout | undefined {
  for (const { ratings } of contacts) {
    const points = ratings.filter(({ place }) => place.file === file && placeHolds(place, offset));
    const first = points[0];
    if (!first) continue;
    const facts = points.flatMap((point) => ratingFacts(point));
    return {
      from: first.place.from,
      to: first.place.to,
      readout: { name: first.text, what: "rating of a contact", facts },
    };
  }
  return undefined;
}

const dutyNames: Readonly<Record<RatingPoint["duty"], string>> = {
  general: "any load",
  resistive: "resistive load",
  motor: "motor load",
  inductive: "inductive load",
  lamp: "filament lamps",
  horsepower: "motor",
  pilot: "coils",
};

/** What the stamp says at one voltage for one kind of load, and by which standard. */
function ratingFacts(point: RatingPoint): Fact[] {
  const { duty, volts, amps, makes, breaks, horsepower, pilotCode } = point;
  const name = `${dutyNames[duty]}, ${amount.volts(volts)}`;
  const told = (value: number | undefined) => (value === undefined ? "not stated" : amount.amps(value));
  switch (duty) {
    case "motor":
      return [
        {
          name,
          text: `runs ${told(amps)}; may make ${told(makes)}, six times that, at a power factor of 0.6 (IEC 61058-1)`,
        },
      ];
    case "lamp":
      return [
        { name, text: `may make ${told(makes)}, the first moment of a cold filament (IEC 61058-1, square brackets)` },
      ];
    case "inductive":
      return [{ name, text: `${told(amps)} at a power factor of 0.6 (IEC 61058-1)` }];
    case "pilot":
      return [
        {
          name,
          text: `code ${pilotCode}: makes ${told(makes)}, breaks ${told(breaks)}, carries ${told(amps)} (NEMA ICS 5, UL 508)`,
        },
      ];
    case "horsepower":
      return [
        {
          name,
          text: `${threeFigures(horsepower ?? 0)} hp: runs ${told(amps)} (NEC 430.248), makes and breaks ${told(makes)}, a rotor that stands (NEC 430.251(A))`,
        },
      ];
    case "general":
      return [{ name, text: `carries, makes and breaks ${told(amps)}; says nothing about starting a motor` }];
    case "resistive":
      return [
        {
          name,
          text: `carries, makes and breaks ${told(amps)}${makes === undefined ? "" : `; capacitive peak ${told(makes)}`}`,
        },
      ];
  }
}

function quantityReadout(quantity: QuantityNode): Readout {
  const { dimension, value, upper, alternatives, tolerance } = quantity;
  const values = [value, ...(alternatives ?? [])];
  const facts: Fact[] = [];
  const other = values.map((one) => inOtherUnits(quantity, one)).filter((text) => text !== "");
  const to = upper === undefined ? "" : inOtherUnits(quantity, upper);
  if (other.length > 0) facts.push({ name: "is", text: `${other.join(", ")}${to === "" ? "" : ` to ${to}`}` });
  if (tolerance !== undefined)
    facts.push({
      name: "between",
      text: `${formatQuantity(value * (1 - tolerance), dimension)} and ${formatQuantity(value * (1 + tolerance), dimension)}`,
    });
  return { name: quantity.text, what: dimensionNames[dimension].name.replace(/^an? /, ""), facts };
}

/** Empty where the unit as written is the only one that people use. */
function inOtherUnits({ dimension, unit }: QuantityNode, value: number): string {
  switch (dimension) {
    case "temperature":
      return /F/.test(unit) ? `${threeFigures(value)} °C` : `${Math.round((value * 9) / 5 + 32)} °F`;
    case "temperature-difference":
      return /F/.test(unit) ? `${threeFigures(value)} K` : `${threeFigures((value * 9) / 5)} F deg`;
    case "horsepower":
      return `${threeFigures(value)} W at the shaft`;
    case "wire-size":
      return /AWG/i.test(unit) ? `${threeFigures(value)} mm² (ASTM B258)` : "";
    case "length":
      return /ft|inch/.test(unit) ? `${threeFigures(value)} m` : `${threeFigures(value / 0.3048)} ft`;
    case "time":
      if (/^h/.test(unit)) return `${threeFigures(value / 60)} min`;
      return /^min/.test(unit) ? `${threeFigures(value)} s` : value >= 60 ? `${threeFigures(value / 60)} min` : "";
    case "power":
    case "resistance":
    case "current":
    case "voltage":
      return /^[kmMµu]/.test(unit)
        ? `${Number(value.toPrecision(12))} ${dimension === "power" ? "W" : dimension === "resistance" ? "ohm" : dimension === "current" ? "A" : "V"}`
        : "";
    default:
      return "";
  }
}

function colourReadout(text: string, code: string): Readout {
  const name = (part: string) => colours.find((one) => one.code === part)?.name ?? part;
  const [body, tracer] = code.split("/");
  const what = tracer === undefined ? name(body!) : `${name(body!)} with ${name(tracer)}`;
  const facts: Fact[] = [{ name: "IEC 60757", text: code }];
  if (code === "GN/YE" || code === "YE/GN")
    facts.push({ name: "means", text: "protective earth, and nothing else (IEC 60445)" });
  return { name: text, what: `${what} wire`, facts };
}
