import { describe, expect, it } from "vitest";
import type { Finding } from "../../server/base/finding.ts";
import { actions } from "../../server/editor/actions.ts";
import { folds } from "../../server/editor/folding.ts";
import { type OutlineEntry, outline } from "../../server/editor/symbols.ts";
import { mainFile } from "../support/fixture.ts";
import { viewOf } from "./support.ts";

const text = `
  # A heater
  # with its door.

  machine "Larkfield bench"
  supply 120/240 V 60 Hz
  switch SW "door" {
    positions shut open
    # both ways
    contact C to A in shut rated 30 A 240 V
  }
  motor DM 120 V 1/3 hp {
    winding main 4 to 5 runs 5.2 A
    speed-switch {
      contact 1 to 2 while running
    }
  }
  heater HT "coil" 2400 W 240 V
  wire L1 to SW.C
  expect HT off when SW open
  machine "second"
  findings "at the bench" {
    heard DM hums
  }
`;

it("the outline: machines, parts, contacts and windings, statements", () => {
  const { view } = viewOf(text);
  const lines = (entries: readonly OutlineEntry[], depth = 0): string[] =>
    entries.flatMap((each) => {
      expect(each.from <= each.nameFrom && each.nameFrom <= each.nameTo && each.nameTo <= each.to).toBe(true);
      const line = `${"  ".repeat(depth)}${each.kind} ${each.name}${each.detail && ` (${each.detail})`}`;
      return [line, ...lines(each.children, depth + 1)];
    });
  expect(lines(outline(view))).toEqual([
    "machine Larkfield bench",
    "  statement supply 120/240 V 60 Hz",
    "  part SW (switch, door)",
    "    contact C to A (contact)",
    "  part DM (motor)",
    "    load main (winding, 4 to 5)",
    "    part speed-switch",
    "      contact 1 to 2 (contact)",
    "  part HT (heater, coil)",
    "  statement expect HT off when SW open",
    "machine second",
    "  statement at the bench (findings)",
    "    statement heard DM hums",
  ]);
});

describe("folding", () => {
  it("blocks without their closing line, comments, machines", () => {
    const { view } = viewOf(text);
    const line = (offset: number) => view.text.slice(0, offset).split("\n").length;
    expect(folds(view).map(({ from, to, kind }) => `${kind} ${line(from)}-${line(to)}`)).toEqual([
      "comment 1-2",
      "machine 4-19",
      "block 6-9",
      "block 11-15",
      "block 13-14",
      "machine 20-23",
      "block 21-22",
    ]);
  });
  it("nothing for braces that never close, or close twice", () => {
    expect(folds(viewOf("motor DM {\n  winding main\n").view)).toEqual([]);
    expect(folds(viewOf("motor DM { }\n}\n").view)).toEqual([]);
  });
});

describe("what can be done about a finding", () => {
  it("the nearest names", () => {
    const { view, caret } = viewOf("supply 120 V 60 Hz\nlamp LAMP 10 W 120 V\nwire L1 to LAM▮Q to N\n");
    expect(actions(view, caret, caret)[0]).toMatchObject({
      title: "Change to LAMP",
      kind: "fix",
      edits: [{ text: "LAMP", place: { from: view.text.indexOf("LAMQ") } }],
    });
    expect(actions(view, 0, 3)).toEqual([]);
  });
  it("silencing, on the line above and with room for the reason", () => {
    const found = (from: number): Finding => ({
      id: "load-without-protector",
      gravity: "warning",
      place: { file: mainFile, from, to: from + 2 },
      what: "",
      advice: "",
      related: [],
    });
    const source = "supply 120 V 60 Hz\n  heater ▮HT 900 W 120 V\nwire L1 to HT to N\n";
    const { view, caret } = viewOf(source, [found(28), found(28)]);
    expect(caret).toBe(28);
    expect(actions(view, caret, caret).filter(({ kind }) => kind === "silence")).toEqual([
      expect.objectContaining({
        title: "Silence load-without-protector here, with a reason",
        edits: [{ place: { file: mainFile, from: 19, to: 19 }, text: "  # silence load-without-protector: \n" }],
      }),
    ]);
  });
});
