/** Every name in the text knows what it means: the ground of hover, definition, references and rename. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { parse } from "../../grammar/parse.ts";
import { type Machine, type Mention, resolveFile, type Target } from "../../server/machine/index.ts";
import { load, readFixture } from "../support/fixture.ts";

function spelled(machine: Machine, target: Target): string[] {
  switch (target.type) {
    case "part":
      return [machine.parts[target.part]!.name];
    case "terminal":
    case "leg":
      return [machine.terminals[target.terminal]!.name];
    case "contact":
      return [machine.contacts[target.contact]!.name.replace(/^[^.]*\./, "").replace(/ to .*$/, "")];
    case "load":
      return [machine.loads[target.load]!.name.replace(/^[^.]*\./, "")];
    case "position":
      return [machine.controls[target.control]!.positions[target.position]!.name];
    case "group":
      return [target.group];
    default:
      return [];
  }
}

test.each(["electric-dryer", "gas-burner", "top-loading-washer", "fan-heater"])(
  "%s: each mention is spelled as its target",
  (name) => {
    const text = readFileSync(`samples/${name}.camleaf`, "utf8");
    const files = new Map([
      ["m", parse(text)],
      ["parts.camleaf", parse(readFileSync("samples/parts.camleaf", "utf8"))],
    ]);
    const machine = resolveFile(files, "m").machines[0]!;
    const odd = machine.mentions.flatMap(({ place, target }) => {
      if (place.file !== "m") return [];
      const written = text.slice(place.from, place.to);
      const names = spelled(machine, target);
      // Positions that the tool names itself have other words too: `on` for a valve's seat, `first` for the seat.
      return target.type === "position" || names.length === 0 || names.includes(written)
        ? []
        : [`${written}: ${names}`];
    });
    expect(odd).toEqual([]);
    for (let i = 1; i < machine.mentions.length; i++) {
      const [a, b] = [machine.mentions[i - 1]!.place, machine.mentions[i]!.place];
      expect(a.file < b.file || (a.file === b.file && a.from <= b.from)).toBe(true);
    }
  },
);

test.each(["electric-dryer", "gas-burner", "top-loading-washer", "fan-heater"])(
  "%s: every name behind a wire, condition or expectation is a mention",
  (name) => {
    const text = readFileSync(`samples/${name}.camleaf`, "utf8");
    const files = new Map([
      ["m", parse(text)],
      ["parts.camleaf", parse(readFileSync("samples/parts.camleaf", "utf8"))],
    ]);
    const machine = resolveFile(files, "m").machines[0]!;
    const starts = new Set(machine.mentions.map(({ place }) => place.from));
    const partNames = machine.parts.map((part) => part.name).join("|");
    const code = text.replace(/#.*|"[^"\n]*"/g, (hidden) => " ".repeat(hidden.length));
    const lost = [
      ...code.matchAll(new RegExp(`(?<=^(wire|bond|expect|note)\\b.*\\b)(?<!\\.)(${partNames})\\b(?! \\d+ AWG)`, "gm")),
    ]
      .filter((match) => !starts.has(match.index!))
      .map((match) => `${match[2]} at ${match.index}`);
    expect(lost).toEqual([]);
  },
);

function at(source: string): Mention | undefined {
  const { caret } = readFixture(source);
  return load(source).mentions.find(
    ({ place }) => place.file === caret!.file && place.from <= caret!.offset && caret!.offset <= place.to,
  );
}

const text = (line: string) => `
  use "parts.camleaf"
  machine "M"
  supply single 120 V 60 Hz
  timer TM {
    contact heat A to B
    chart { steps off 1 timed 4
      heat - XXXX
    }
  }
  valve HV of type V12
  ${line}
  #- parts.camleaf
  type V12 valve 120 V draws 90 mA
`;

test.each([
  ["wire L to T▮M.heat to HV to N", "part"],
  ["wire L to TM.he▮at to HV to N", "contact"],
  ["wire L to TM(▮A B) to HV to N", "terminal"],
  ["wire ▮L to TM.A", "leg"],
  ["expect HV off when TM in ti▮med", "group"],
  ["expect HV off when TM in o▮ff", "position"],
  ["valve CV of type V▮12", "type"],
])("%s", (line, type) => {
  expect(at(text(line))?.target.type).toBe(type);
});

test("a chart row means its contact, a used file its file", () => {
  const source = text("wire L to TM.A");
  const { mentions, fixture } = load(source);
  const of = (word: string) =>
    mentions.filter(({ place }) => fixture.text.slice(place.from, place.to) === word).map(({ target }) => target.type);
  expect(of("heat")).toEqual(["contact", "contact"]);
  expect(of('"parts.camleaf"')).toEqual(["file"]);
});
