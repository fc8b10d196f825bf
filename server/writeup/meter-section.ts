/** "What the meter should read": how to test each part, unplugged. */
import type { BenchReport } from "../base/bench.ts";

export interface WrittenTest {
  readonly name: string;
  readonly lines: readonly { readonly name: string; readonly text: string }[];
}

/** Findings of the bench with what they come to; empty without any. */
export function benchSection(reports: readonly BenchReport[], escaped: (text: string) => string): string {
  const item = (text: string): string => `<li>${text}</li>`;
  return reports
    .map(({ label, states, observations, suspects, next, conclusion, decided }) => {
      const rows = observations.map(({ text, verdict, expected }) => {
        const told =
          verdict === "agrees"
            ? "as in a sound machine"
            : verdict === "disagrees"
              ? `a sound machine shows ${expected}`
              : `tells nothing: ${expected}`;
        return `<tr class="${verdict}"><td>${escaped(text)}</td><td>${escaped(told)}</td></tr>`;
      });
      const listed = suspects.map(({ odds, words, because, contradicts }) => {
        const more = [
          because ? `likelier, because ${because}` : "",
          contradicts.length > 0 ? `against it: ${contradicts.join("; ")}` : "",
        ];
        const said = more.filter((text) => text !== "").join("; ");
        return item(`<strong>${escaped(words)}</strong>, ${escaped(odds)}${said === "" ? "" : ` (${escaped(said)})`}`);
      });
      const following = next
        ? `<p><strong>${decided ? "To confirm it" : "Next"}: ${escaped(next.title)}</strong></p>\n<ol>${next.steps.map((step) => item(escaped(step))).join("")}</ol>\n<p>It will show:</p>\n<ul>${next.outcomes.map((outcome) => item(escaped(outcome))).join("")}</ul>`
        : "";
      return [
        `<h3>${escaped(label)}</h3>`,
        `<p>${escaped(states.map((state) => `In the state: ${state}.`).join(" "))}</p>`,
        `<table>${rows.join("")}</table>`,
        `<p>${escaped(conclusion)}</p>`,
        ...(listed.length > 0 ? [`<ol>${listed.join("")}</ol>`] : []),
        following,
      ].join("\n");
    })
    .join("\n");
}

/** Empty without tests. `escaped` makes text of the file harmless. */
export function meterSection(tests: readonly WrittenTest[], escaped: (text: string) => string): string {
  if (tests.length === 0) return "";
  const intro =
    "<p>Unplugged, capacitors discharged. Readings are of a cold machine; the leads named come off first, since every other path between the points counts too.</p>";
  const rows = tests.map(({ name, lines }) => {
    const cells = lines.map(
      (line) => `<tr><th scope="row">${escaped(line.name)}</th><td>${escaped(line.text)}</td></tr>`,
    );
    return `<h3>${escaped(name)}</h3>\n<table>${cells.join("")}</table>`;
  });
  return [intro, ...rows].join("\n");
}
