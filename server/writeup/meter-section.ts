/** "What the meter should read" and "Findings at the bench": how to test each part, and what readings come to. */
import type { BenchReport } from "../base/bench.ts";
import type { Block, Item } from "./page.ts";

export interface WrittenTest {
  readonly name: string;
  readonly lines: readonly { readonly name: string; readonly text: string }[];
}

/** Findings of the bench with what they come to; empty without any. */
export function benchSection(reports: readonly BenchReport[]): Block[] {
  return reports.flatMap(({ label, states, observations, suspects, next, conclusion, decided }): Block[] => {
    const rows = observations.map(({ text, verdict, expected }) => {
      const told =
        verdict === "agrees"
          ? "as in a sound machine"
          : verdict === "disagrees"
            ? `a sound machine shows ${expected}`
            : `tells nothing: ${expected}`;
      return { cells: [[text], [told]], weight: verdict };
    });
    const listed = suspects.map(({ odds, words, because, contradicts }): Item => {
      const more = [
        because ? `likelier, because ${because}` : "",
        contradicts.length > 0 ? `against it: ${contradicts.join("; ")}` : "",
      ];
      const said = more.filter((text) => text !== "").join("; ");
      return { text: [{ strong: words }, `, ${odds}${said === "" ? "" : ` (${said})`}`] };
    });
    const plain = (texts: readonly string[]): Item[] => texts.map((text) => ({ text: [text] }));
    return [
      { block: "heading", text: label },
      { block: "text", text: [states.map((state) => `In the state: ${state}.`).join(" ")] },
      { block: "table", heads: [], rows },
      { block: "text", text: [conclusion] },
      ...(listed.length > 0 ? [{ block: "steps", items: listed } as const] : []),
      ...(next
        ? ([
            { block: "text", text: [{ strong: `${decided ? "To confirm it" : "Next"}: ${next.title}` }] },
            { block: "steps", items: plain(next.steps) },
            { block: "text", text: ["It will show:"] },
            { block: "list", items: plain(next.outcomes) },
          ] as const)
        : []),
    ];
  });
}

/** Empty without tests. */
export function meterSection(tests: readonly WrittenTest[]): Block[] {
  if (tests.length === 0) return [];
  const intro =
    "Unplugged, capacitors discharged. Readings are of a cold machine; the leads named come off first, since every other path between the points counts too.";
  return [
    { block: "text", text: [intro] },
    ...tests.flatMap(({ name, lines }): Block[] => [
      { block: "heading", text: name },
      { block: "facts", facts: lines },
    ]),
  ];
}
