import { describe, expect, it } from "vitest";
import { definition, highlights, references } from "../../server/editor/definition.ts";
import { prepareRename, rename } from "../../server/editor/rename.ts";
import { told, viewOf } from "./support.ts";

const at = (source: string) => {
  const { view, caret, files } = viewOf(source);
  return {
    definition: definition(view, caret).map((place) => told(files, place)),
    references: references(view, caret).map(({ place, defines }) => `${told(files, place)}${defines ? " !" : ""}`),
    highlights: highlights(view, caret).map(({ place }) => told(files, place)),
  };
};

const renamed = (source: string, name: string) => {
  const { view, caret } = viewOf(source);
  const edits = rename(view, caret, name);
  if ("refused" in edits) return edits.refused;
  let text = view.text;
  for (const { place, text: word } of [...edits].sort((a, b) => b.place.from - a.place.from))
    text = text.slice(0, place.from) + word + text.slice(place.to);
  return text;
};

/** `{caret}` in one of the texts' names. */
const oven = (caret: string, marked: string) =>
  `supply 120/240 V 60 Hz
switch SW "door" {
  positions shut open
  contact C to A in shut rated 30 A 240 V
}
limit HL opens 121 C senses HT rated 30 A 240 V
heater HT 2400 W 240 V
wire L1 to SW.C
wire SW.A to HL to HT to L2
expect HT off when SW open
`.replace(caret, marked);

describe("from a name to its place", () => {
  it("a part in a wire is given where it is declared", () => {
    expect(at(oven("to HT to", "to H▮T to")).definition).toEqual(["main.camleaf:7 HT"]);
  });
  it("a part is found in wires, properties and expectations", () => {
    expect(at(oven("heater HT", "heater ▮HT")).references).toEqual([
      "main.camleaf:6 HT",
      "main.camleaf:7 HT !",
      "main.camleaf:9 HT",
      "main.camleaf:10 HT",
    ]);
  });
  it("a terminal is given in its contact, a position in its list", () => {
    expect(at(oven("SW.C", "SW.▮C")).definition).toEqual(["main.camleaf:4 C"]);
    expect(at(oven("SW open", "SW op▮en")).definition).toEqual(["main.camleaf:3 open"]);
  });
  it("a leg leads to the supply", () => {
    expect(at(oven("wire L1", "wire L▮1")).definition).toEqual(["main.camleaf:1 supply 120/240 V 60 Hz"]);
  });
  it("nothing for words of the language and empty places", () => {
    expect(at(oven("wire L1", "wi▮re L1")).references).toEqual([]);
    expect(at("▮").definition).toEqual([]);
  });

  const shared = (main: string) => `
    use "parts.camleaf"
    supply 120/240 V 60 Hz
    heater HT 2400 W 240 V
    ${main}
    #- parts.camleaf
    type Q switch {
      positions on off
      contact C to A in on rated 30 A 240 V
    }
  `;
  const two = `switch S1 of type Q
    switch S2 of type Q
    wire L1 to S1.C
    wire S1.▮A to S2.C
    wire S2.A to HT to L2`;
  it("a type's terminal is given in the other file, and is one thing for all its parts", () => {
    expect(at(shared(two)).definition).toEqual(["parts.camleaf:3 A"]);
    expect(at(shared(two)).references).toEqual(["main.camleaf:7 A", "main.camleaf:8 A", "parts.camleaf:3 A !"]);
    expect(at(shared(two)).highlights).toEqual(["main.camleaf:7 A", "main.camleaf:8 A"]);
  });
  it("a type is given in the other file", () => {
    expect(at(shared("switch S1 of type ▮Q")).definition).toEqual(["parts.camleaf:1 Q"]);
  });
});

describe("renaming", () => {
  it("a part, everywhere at once", () => {
    expect(renamed(oven("to HT to", "to H▮T to"), "COIL")).toBe(oven("", "").replaceAll("HT", "COIL"));
  });
  it("a terminal and a position", () => {
    expect(renamed(oven("SW.C", "SW.▮C"), "K")).toBe(oven("contact C", "contact K").replace("SW.C", "SW.K"));
    expect(renamed(oven("SW open", "SW ▮open"), "ajar")).toBe(oven("", "").replaceAll("open\n", "ajar\n"));
  });
  it("a type, with the parts made of it", () => {
    const text = (name: string) =>
      `supply 120 V 60 Hz\ntype ${name} lamp {\n  10 W 120 V\n}\nlamp A of type ${name}\nwire L1 to A to N\n`;
    expect(renamed(text("▮Q"), "R")).toBe(text("R"));
  });
  it("refuses a name that is taken, in words", () => {
    expect(renamed(oven("heater HT", "heater ▮HT"), "HL")).toMatch(/^HL (cannot be the name here|already means)/);
    expect(renamed(oven("heater HT", "heater ▮HT"), "L1")).toMatch(/^L1 (cannot be the name here|already means)/);
    expect(renamed(oven("SW.C", "SW.▮C"), "A")).toMatch(/^A (cannot be the name here|already means)/);
  });
  it("refuses what is no name", () => {
    for (const name of ["", "two words", "A.B", "#", '"x"', "a\nb", "{"])
      expect(renamed(oven("heater HT", "heater ▮HT"), name)).toMatch(/is no name/);
  });
  it("refuses legs of the supply, terminals and positions that are not written down, and plain words", () => {
    const refusal = (source: string) => {
      const { view, caret } = viewOf(source);
      const found = prepareRename(view, caret);
      return "refused" in found ? found.refused : `renames ${found.name}`;
    };
    expect(refusal(oven("wire L1", "wire ▮L1"))).toMatch(/^L1 is a leg of the supply/);
    expect(refusal("supply single 120 V legs ▮L N PE\nlamp DL 10 W 120 V\nwire L to DL to N")).toMatch(
      /^L is a leg of the supply/,
    );
    expect(refusal(oven("to HT to L2", "to HT.▮1\nwire HT.2 to L2"))).toMatch(/^1 is the terminal's usual name/);
    expect(refusal(oven("when SW open", "when HL ▮open"))).toMatch(/^open is a word of the language/);
    expect(refusal(oven("wire L1", "wi▮re L1"))).toBe("Nothing with a name of its own stands here.");
    expect(refusal(oven("wire L1 to SW", "wire L1 to S▮W"))).toBe("renames SW");
  });
});

/** A winding is known as a start winding by its name, and so are directions that exclude each other. */
describe("a name that says what the thing is", () => {
  const motor = (name: string) => `supply single 120 V 60 Hz
motor DM 120 V 1/3 hp thermally-protected {
  winding main 1 to 3
  winding ${name} 2 to 3
}
wire L to DM.1
wire L to DM.2
wire DM.3 to N
`;
  it("is not changed into one that says something else", () => {
    expect(renamed(motor("sta▮rt"), "second")).toContain("known by its name");
    expect(renamed(motor("sec▮ond"), "start")).toContain("known by its name");
    expect(renamed(motor("sta▮rt"), "starting")).toContain("winding starting 2 to 3");
    expect(renamed(motor("sec▮ond"), "third")).toContain("winding third 2 to 3");
  });
});
