/** A machine that is only written differently has the same findings. */
import { describe, expect, it } from "vitest";
import { findingsOf } from "../analysed.ts";
import { machineOf, shownSamples, textOf } from "./machines.ts";
import { told } from "./told.ts";

describe.each(shownSamples)("%s", (name) => {
  it("says the same of a text that is only written differently", () => {
    const brief = (text: string): string[] => {
      const one = machineOf(text);
      return findingsOf(one, {})
        .flatMap((f) => told(one, f).map((fact) => `${f.gravity} ${fact}`))
        .sort();
    };
    const text = textOf(name);
    const plain = brief(text);
    for (const variant of harmless(text)) expect(brief(variant.text), variant.words).toEqual(plain);
  });
});

interface Rewritten {
  readonly words: string;
  readonly text: string;
}

function* harmless(text: string): Generator<Rewritten> {
  yield { words: "lines that end in CRLF", text: text.replaceAll("\n", "\r\n") };
  yield { words: "blank lines everywhere", text: text.replaceAll("\n", "\n\n") };
  yield { words: "a comment behind each line", text: text.replace(/$/gm, "  # remark") };
  yield { words: "no comments", text: text.replace(/#.*$/gm, "") };
  yield { words: "indented by tabs", text: text.replace(/^ +/gm, "\t") };
  const lines = text.split("\n");
  const wires = lines.filter((line) => line.startsWith("wire "));
  const rest = lines.filter((line) => !line.startsWith("wire "));
  yield { words: "wires in the other order", text: [...rest, ...wires.reverse()].join("\n") };
  for (let i = 0; i < wires.length; i++) {
    const match = /^wire (\S+) to (.*)$/.exec(wires[i]!);
    if (!match) continue;
    // At the head of a chain a part counts from its far end, so only points are spliced.
    if (!/^(L\d?|N|\w+\.\w+)$/.test(match[1]!)) continue;
    yield {
      words: `a splice in ${wires[i]}`,
      text: text.replace(wires[i]!, `splice SPL9\nwire ${match[1]} to SPL9\nwire SPL9 to ${match[2]}`),
    };
  }
}
