/** Wire colours as swatches. */
import { colourCode, colours } from "../../grammar/colours.ts";
import type { Statement } from "../../grammar/tree.ts";
import { shades } from "../pictures/shades.ts";
import type { FileView } from "./view.ts";

/** 0 to 1. */
export interface Rgb {
  readonly red: number;
  readonly green: number;
  readonly blue: number;
}

export interface Swatch {
  readonly from: number;
  readonly to: number;
  readonly colour: Rgb;
  /** `GN/YE`. */
  readonly code: string;
}

/** Of a colour with tracer the body's. */
export function rgbOf(code: string): Rgb | undefined {
  const shade = shades[code.slice(0, 2)];
  if (!shade) return undefined;
  const part = (at: number) => Number.parseInt(shade.slice(at, at + 2), 16) / 255;
  return { red: part(1), green: part(3), blue: part(5) };
}

export function swatches({ tree }: FileView): Swatch[] {
  const wires = tree.statements.flatMap((one: Statement) => {
    if (one.statement === "wire") return [one];
    if (one.statement !== "proposal") return [];
    return one.edits.flatMap((edit) => (edit.edit === "wire" ? [edit.wire] : []));
  });
  return wires.flatMap(({ colour }): Swatch[] => {
    const code = colour && colourCode(colour.text);
    const rgb = code && rgbOf(code);
    return rgb ? [{ from: colour.from, to: colour.to, colour: rgb, code }] : [];
  });
}

/** Codes for a colour picked, the nearest first; a tracer that was written is kept. */
export function codesFor(picked: Rgb, written: string): string[] {
  const tracer = /\/(..)$/.exec(colourCode(written) ?? "")?.[1];
  const distance = (rgb: Rgb) =>
    (rgb.red - picked.red) ** 2 + (rgb.green - picked.green) ** 2 + (rgb.blue - picked.blue) ** 2;
  return colours
    .map(({ code }) => ({ code, far: distance(rgbOf(code)!) }))
    .sort((a, b) => a.far - b.far)
    .slice(0, 3)
    .map(({ code }) => (tracer && tracer !== code ? `${code}/${tracer}` : code));
}
