/**
 * Proof by damage: each sample is damaged mechanically, the oracle says what is then true, and the checks must tell all of it
 * and nothing else. `MUTATIONS=200 npx vitest run tests/checks/mutations` runs the long form.
 */
import { readFileSync } from "node:fs";
import { afterAll, describe, expect, it } from "vitest";
import type { Finding } from "../../../server/base/finding.ts";
import { findingText } from "../../../server/base/finding.ts";
import type { Machine } from "../../../server/machine/machine.ts";
import { findingsOf, machinesOf } from "../analysed.ts";
import { damaged, damages, pick } from "./damage.ts";
import { JUDGED, truths } from "./truth.ts";

const samples = new URL("../../../samples/", import.meta.url);
const textOf = (name: string): string => readFileSync(new URL(`${name}.camleaf`, samples), "utf8");
const MOST = Number(process.env.MUTATIONS ?? 60);

/** The subject of a finding: the part, load or contact whose name stands at its place. */
function told(machine: Machine, finding: Finding): string {
  const at = (place: { from: number }): boolean => place.from === finding.place.from;
  switch (finding.id) {
    case "load-without-protector":
      return `${finding.id} ${machine.parts[machine.loads.find((l) => at(l.namePlace))!.part]!.name}`;
    case "wrong-voltage":
      // Windings behind a capacitor are excused by the check and not worked out by the oracle.
      if (machine.loads.some((l) => at(l.namePlace) && l.kind === "start-winding")) return `${finding.id} ?`;
      return `${finding.id} ${machine.loads.find((l) => at(l.namePlace))!.name}`;
    case "load-never-energised":
      return `${finding.id} ${machine.loads.find((l) => at(l.namePlace) && finding.what.startsWith(l.name))!.name}`;
    case "guard-defeated":
      return `${finding.id} ${machine.parts[machine.guards.find((g) => at(g.place))!.part]!.name}`;
    case "neutral-side-switch":
      // Told once per part, at the part or at its only contact.
      return `${finding.id} ${
        machine.parts.find(
          ({ namePlace, contacts, kind }) =>
            kind !== "supply" && (at(namePlace) || contacts.some((id) => at(machine.contacts[id]!.namePlace))),
        )?.name ?? "?"
      }`;
    case "contact-over-rating":
      return `${finding.id} ${machine.contacts.find((c) => at(c.namePlace) && finding.what.startsWith(`${c.name} `))?.name ?? "?"}`;
    default:
      return finding.id;
  }
}

const table: string[] = [];
afterAll(() => {
  if (process.env.MUTATIONS) console.log(table.join("\n"));
});

describe.each(["gas-burner", "fan-heater", "electric-dryer", "top-loading-washer"])("%s", (name) => {
  const [machine] = machinesOf(textOf(name), { "parts.camleaf": textOf("parts") });
  const before = truths(machine!);

  it(`tells what ${MOST} damages do, and nothing untrue`, { timeout: 600_000 }, () => {
    const counts = new Map<string, { variants: number; expected: number; detected: number; quiet: number }>();
    const missed: string[] = [];
    const untrue: string[] = [];
    for (const damage of pick(damages(machine!), MOST, 7)) {
      const variant = damaged(machine!, damage);
      const truth = truths(variant);
      const findings = findingsOf(variant, {});
      const said = new Set(findings.map((f) => told(variant, f)));
      const count = counts.get(damage.kind) ?? { variants: 0, expected: 0, detected: 0, quiet: 0 };
      counts.set(damage.kind, count);
      count.variants++;
      const fresh = [...truth].filter((fact) => !before.has(fact));
      count.expected += fresh.length;
      count.detected += fresh.filter((fact) => said.has(fact)).length;
      if (fresh.length === 0) count.quiet++;
      for (const fact of truth) if (!said.has(fact)) missed.push(`${damage.words}: ${fact}`);
      for (const finding of findings) {
        const fact = told(variant, finding);
        const judged = (JUDGED as readonly string[]).includes(finding.id) && finding.id !== "contact-over-rating";
        if (judged && !truth.has(fact) && !fact.endsWith("?")) untrue.push(`${damage.words}: ${fact}`);
        expect(findingText(finding), damage.words).not.toMatch(/undefined|NaN/);
        expect(finding.id, `${damage.words}: ${finding.what}`).not.toBe("check-failed");
      }
    }
    for (const [kind, { variants, expected, detected, quiet }] of counts)
      table.push(
        `${name.padEnd(20)} ${kind.padEnd(28)} ${String(variants).padStart(4)} variants  ${String(detected).padStart(4)} / ${expected} detected  ${quiet} without effect`,
      );
    expect({ missed, untrue }).toEqual({ missed: [], untrue: [] });
  });

  it("says the same of a text that is only written differently", () => {
    const brief = (text: string): string[] => {
      const [one] = machinesOf(text, { "parts.camleaf": textOf("parts") });
      return findingsOf(one!, {})
        .map((f) => `${f.gravity} ${told(one!, f)}`)
        .sort();
    };
    const text = textOf(name);
    const plain = brief(text);
    for (const variant of harmless(text))
      expect(brief(variant.text), variant.words).toEqual(plain.map(variant.rename ?? ((fact) => fact)).sort());
  });
});

interface Rewritten {
  readonly words: string;
  readonly text: string;
  readonly rename?: (fact: string) => string;
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
