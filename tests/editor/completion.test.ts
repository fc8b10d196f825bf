/** Completion: what is offered at the caret, the best first. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { completion } from "../../server/editor/completion.ts";
import { plainBody } from "../../server/editor/snippets.ts";
import { symptomOdds } from "../../server/meter/symptoms.ts";
import { viewOf } from "./support.ts";

/** Labels, in the order in which they are offered. */
function offered(source: string, analysed = false, more: Parameters<typeof completion>[2] = {}): string[] {
  const { view, caret } = viewOf(source, [], analysed);
  const { choices } = completion(view, caret, more);
  return [...choices].sort((a, b) => a.rank - b.rank).map(({ label }) => label);
}

/** The text once the choice is taken. */
function taken(source: string, label: string): string {
  const { view, caret } = viewOf(source);
  const { choices, from, to } = completion(view, caret);
  const choice = choices.find((one) => one.label === label);
  if (!choice) throw new Error(`${label} is not offered, but ${choices.map((one) => one.label).join(", ")}`);
  return view.text.slice(0, from) + plainBody(choice.insert ?? choice.label) + view.text.slice(to);
}

const machine = `machine "m"
supply 120/240 V 60 Hz
timer TM "program timer" {
  contact heat C to D
  contact run A to B
  chart 5 min per step {
    steps off 1 timed 4 cool 2
    heat  -     XXXX    --
  }
}
switch DOOR "door switch" { positions shut open
  contact 1 to 2 in shut
}
heater HT "coil" 5400 W 240 V
wire L1 to TM.C
wire TM.D to HT
`;

describe("at the head of a line", () => {
  it("offers kinds, statements and whole snippets", () => {
    const labels = offered(`${machine}▮`);
    for (const label of ["heater", "wire", "machine", "expect", "timer"]) expect(labels).toContain(label);
    expect(labels).not.toContain("TM");
  });

  it("offers what a block takes: items of a timer, edits of a proposal, entries of findings", () => {
    expect(offered(`${machine}timer T2 {\n  ▮\n}`)).toEqual(expect.arrayContaining(["contact", "chart", "drive"]));
    expect(offered(`${machine}proposal "x" {\n  ▮\n}`).slice(0, 6)).toEqual([
      "add",
      "remove",
      "move",
      "replace",
      "change",
      "rename",
    ]);
    expect(offered(`${machine}findings "x" {\n  ▮\n}`)).toContain("heard");
  });

  it("fills a snippet in as plain text where the editor knows no placeholders", () => {
    expect(plainBody(`fuse \${1:F1} \${2|15 A,20 A|}\n$0`)).toBe("fuse F1 15 A\n");
  });
});

describe("in a wire", () => {
  it("offers points without a wire first", () => {
    const labels = offered(`${machine}wire ▮`);
    expect(labels.indexOf("HT.2")).toBeLessThan(labels.indexOf("HT.1"));
    expect(labels.indexOf("TM.A")).toBeLessThan(labels.indexOf("TM.C"));
    expect(labels.indexOf("L2")).toBeLessThan(labels.indexOf("L1"));
  });

  it("offers terminals behind a dot, replacing only what stands behind it", () => {
    expect(offered(`${machine}wire L2 to TM.▮`).slice(0, 2)).toEqual(["A", "B"]);
    expect(taken(`${machine}wire L2 to TM.▮`, "A")).toBe(`${machine}wire L2 to TM.A\n`);
  });

  it("then the next link or the colour", () => {
    const labels = offered(`${machine}wire L1 to HT ▮`);
    expect(labels[0]).toBe("to");
    expect(labels).toContain("BK");
  });

  it("replaces the whole word that the caret is in", () => {
    expect(taken(`${machine}wire L2 to DO▮OR`, "DOOR")).toBe(`${machine}wire L2 to DOOR\n`);
  });
});

describe("of a part", () => {
  it("offers the properties of its kind, and no others", () => {
    const labels = offered(`${machine}limit HL ▮`);
    expect(labels).toEqual(expect.arrayContaining(["opens", "closes", "senses", "self-resetting", "rated"]));
    expect(labels).not.toContain("bleeds");
  });

  it("offers what the property asks for", () => {
    expect(offered(`${machine}limit HL opens 121 C senses ▮`)[0]).toBe("HT");
  });

  it("offers units behind a number, those of the place first", () => {
    expect(offered(`${machine}limit HL opens 121 ▮`)).toEqual(["°C", "°F", "A", "mA", "µA", "s", "ms", "min", "h"]);
    expect(offered(`${machine}heater H2 5400 ▮`).slice(0, 3)).toEqual(["V", "mV", "kV"]);
  });

  it("offers types behind of type, from this file and others", () => {
    const source = `type Q7 timer "two-cycle" { contact run A to B }\n${machine}timer T2 of type ▮`;
    expect(offered(source, false, { types: ["Q9"] })).toEqual(["Q7", "Q9"]);
  });
});

describe("in a condition", () => {
  it("offers controls, then positions", () => {
    expect(offered(`${machine}expect HT off when ▮`)).toEqual(["TM", "DOOR", "SUPPLY"]);
    expect(offered(`${machine}expect HT off when DOOR ▮`)).toEqual(["shut", "open"]);
    expect(offered(`${machine}expect HT off when TM in ▮`).slice(0, 2)).toEqual(["timed", "cool"]);
    expect(offered(`${machine}expect HT off when TM in timed or ▮`)).toContain("cool 1");
    expect(offered(`${machine}expect HT off when TM in timed, ▮`)).toContain("DOOR");
  });

  it("offers the part's own positions behind in", () => {
    expect(offered(`${machine}switch LID { positions shut open\n  contact 1 to 2 in ▮\n}`)).toEqual(["shut", "open"]);
  });

  it("offers what is proved of a load, to be expected from now on", () => {
    const source = `machine "m"
supply 120 V 60 Hz
switch SW 1 to 2 closed in on, open in off
heater HT 1200 W 120 V
wire L to SW to HT to N
expect HT ▮`;
    // The circuit is one switch and one coil: it heats exactly when the switch is on (and the plug is in).
    expect(offered(source, true).slice(0, 2)).toEqual([
      "heats when SUPPLY on, SW on",
      "off when SUPPLY off or when SW off",
    ]);
  });
});

describe("in findings", () => {
  it("offers only words of what was noticed that the diagnosis understands", () => {
    for (const head of ["heard", "seen", "smelt", "felt"]) {
      const labels = offered(`${machine}findings "x" {\n  ${head} HT ▮\n}`);
      expect(labels.length).toBeGreaterThan(1);
      expect(labels.filter((label) => symptomOdds(label) === undefined)).toEqual([]);
    }
  });
});

describe("in a chart", () => {
  const row = (text: string) =>
    machine.replace("    heat  -     XXXX    --\n", `    heat  -     XXXX    --\n${text}\n`);

  it("offers the contact that has no row yet, with a cell for each step", () => {
    expect(taken(row("    ▮"), "run")).toContain("    run    -  ----  --\n");
  });

  it("offers the cells that are left", () => {
    expect(taken(row("    run   -     XX▮"), "XX--  --")).toContain("    run   -     XX--  --\n");
    expect(offered(row("    run   -     XXXX    --▮"))).toEqual([]);
  });
});

describe("where nothing is to be chosen", () => {
  it("stays quiet: comments, texts in quotes, names, numbers", () => {
    expect(offered(`${machine}# wire ▮`)).toEqual([]);
    expect(offered(`${machine}heater H2 "a ▮`)).toEqual([]);
    expect(offered(`${machine}heater ▮`)).toEqual([]);
    expect(offered(`${machine}heater H2 54▮`)).toEqual([]);
  });

  it("offers files in the text of use", () => {
    expect(offered('use "▮"', false, { files: ["parts.camleaf"] })).toEqual(["parts.camleaf"]);
  });
});

describe("anywhere in the samples", () => {
  it("answers, and replaces only what stands around the caret", () => {
    const source = readFileSync(join(import.meta.dirname, "../../samples/top-loading-washer.camleaf"), "utf8");
    const { view } = viewOf(source);
    for (let offset = 0; offset <= source.length; offset += 7) {
      const { from, to } = completion(view, offset);
      expect(from).toBeLessThanOrEqual(offset);
      expect(to).toBeGreaterThanOrEqual(offset);
      expect(source.slice(from, to)).not.toContain("\n");
    }
  });
});
