/** Semantic tokens, signature help, selection, links and swatches. */
import { describe, expect, it } from "vitest";
import { codesFor, rgbOf, swatches } from "../../server/editor/colours.ts";
import { links } from "../../server/editor/links.ts";
import { selections } from "../../server/editor/selection.ts";
import { semanticTokens } from "../../server/editor/semantic-tokens.ts";
import { signature } from "../../server/editor/signature.ts";
import { viewOf } from "./support.ts";

const machine = `machine "m"
supply 120/240 V 60 Hz
frame CAB "cabinet"
switch SW { positions shut open
  contact 1 to 2 in shut
}
heater HT 1200 W 120 V on CAB
wire L1 to SW.1  BK
wire SW.2 to HT.1
wire HT.2 to N  WH
bond CAB to PE  GN/YE
expect HT off when SW open
`;

describe("semantic tokens", () => {
  const { view } = viewOf(machine);
  const tokens = semanticTokens(view).map(({ from, to, type, modifiers }) =>
    [view.text.slice(from, to), type, ...modifiers].join(" "),
  );

  it("say what a name is and where it is given", () => {
    expect(tokens).toContain("SW variable declaration");
    expect(tokens).toContain("open enumMember");
  });

  it("say what wires alone lead to: live, neutral, protective earth", () => {
    expect(tokens).toContain("L1 property live");
    expect(tokens).toContain("1 property live");
    expect(tokens).toContain("2 property neutral");
    expect(tokens).toContain("PE property protective");
    // Behind the switch nothing is live by wires alone.
    expect(tokens.filter((token) => token.startsWith("1 property live"))).toHaveLength(1);
  });

  it("never overlap, stand in order, and a range gives the same ones", () => {
    const all = semanticTokens(view);
    for (const [i, { from }] of all.entries()) expect(from).toBeGreaterThanOrEqual(all[i - 1]?.to ?? 0);
    const line = machine.indexOf("wire SW.2");
    const end = machine.indexOf("\n", line);
    expect(semanticTokens(view, line, end)).toEqual(all.filter(({ from, to }) => from >= line && to <= end));
  });
});

describe("signature help", () => {
  const at = (source: string) => {
    const { view, caret } = viewOf(source);
    const found = signature(view, caret);
    const active = found?.active === undefined ? undefined : found.parameters[found.active];
    return found && { label: found.label, active: active && found.label.slice(active.from, active.to) };
  };

  it("shows the values of the property that is being written", () => {
    expect(at("resistor R1 resistance ▮")?.label).toMatch(/^resistance /);
    expect(at("thermostat CT differential ▮")).toEqual({
      label: "differential temperature-difference",
      active: "temperature-difference",
    });
  });

  it("shows what may be said of the kind, elsewhere", () => {
    const { label } = at("heater HT ▮")!;
    expect(label).toMatch(/^heater NAME {2}/);
    expect(label).toContain("sheathed");
    expect(at("# heater HT ▮")).toBeUndefined();
  });
});

describe("selection", () => {
  it("grows from the word to the whole text", () => {
    const { view, caret } = viewOf(machine.replace("expect HT off when SW open", "expect HT off when SW op▮en"));
    const grown = selections(view, caret).map(({ from, to }) => view.text.slice(from, to));
    expect(grown[0]).toBe("open");
    expect(grown).toContain("SW open");
    expect(grown).toContain("expect HT off when SW open");
    expect(grown.at(-1)).toBe(view.text);
    for (const [i, text] of grown.slice(1).entries()) expect(text).toContain(grown[i]);
  });
});

describe("links", () => {
  it("lead to used files and photos", () => {
    const { view } = viewOf(
      'machine "m"\nsupply 120 V 60 Hz\nheater HT 5 W 120 V\nnote HT "new" photo "coil one.jpg"\n',
    );
    expect(links(view).map(({ path, from, to }) => [path, view.text.slice(from, to)])).toEqual([
      ["coil one.jpg", "coil one.jpg"],
    ]);
  });
});

describe("swatches", () => {
  it("stand at the codes of IEC 60757, a tracer's body first", () => {
    const { view } = viewOf(machine);
    expect(swatches(view).map(({ code }) => code)).toEqual(["BK", "WH", "GN/YE"]);
  });

  it("turn a picked colour into the nearest code, and keep the tracer", () => {
    expect(codesFor({ red: 1, green: 0, blue: 0 }, "BK")[0]).toBe("RD");
    expect(codesFor(rgbOf("BU")!, "GNYE")[0]).toBe("BU/YE");
  });
});
