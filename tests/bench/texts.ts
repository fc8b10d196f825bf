/** Texts of a wanted length: as many generated machines as it takes, one after the other in one file. */
import { generatedMachine } from "./generated-machine.ts";

export interface BenchText {
  readonly name: string;
  readonly text: string;
  readonly lines: number;
  readonly machines: number;
}

export function benchText(name: string, text: string): BenchText {
  return { name, text, lines: text.split("\n").length - 1, machines: text.match(/^machine /gm)?.length ?? 0 };
}

/** About so many lines, in machines of the size of an ordinary wiring sheet (10 devices, about 130 lines); below that one smaller one. */
export function generatedText(lines: number): BenchText {
  const devices = lines < 130 ? 8 : 10;
  let text = "";
  let written = 0;
  for (let seed = 1; written === 0 || written < lines - 60; seed++) {
    const next = generatedMachine({ seed, devices }).text;
    text += next;
    written += next.split("\n").length - 1;
  }
  return benchText(`${lines} lines`, text);
}

/** The watts of the heater nearest to the middle of the text: where the bench types. */
export function middleHeater(text: string): { readonly from: number; readonly to: number } {
  const middle = text.length / 2;
  const all = [...text.matchAll(/^heater \w+ (?:"[^"]*" )?(\d+(?:\.\d+)?)/gm)].map((match) => {
    const to = match.index + match[0].length;
    return { from: to - match[1]!.length, to };
  });
  if (all.length === 0) throw new Error("no heater to edit in this text");
  return all.reduce((best, at) => (Math.abs(at.from - middle) < Math.abs(best.from - middle) ? at : best));
}
