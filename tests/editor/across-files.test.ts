/** Names that several files share: one describes a part, others use it; some are open in the editor, some only lie in the folder. */
import { describe, expect, it } from "vitest";
import { definition, references } from "../../server/editor/definition.ts";
import { prepareRename, rename } from "../../server/editor/rename.ts";
import { nodePlatform } from "../../server/node/platform.ts";
import { Service } from "../../server/service.ts";
import { readFixture } from "../support/fixture.ts";

const root = "file:///w";

/** The first of the files is open, and `open` too; the rest are on the disk. The caret stands in one of the open ones. */
function opened(source: string, ...open: string[]) {
  const { files, caret } = readFixture(source);
  const uri = (name: string) => `${root}/${name}`;
  const service = new Service({
    ...nodePlatform,
    readFile: async (address) => files.get(address.slice(root.length + 1)),
    findFiles: async () => [...files.keys()].map(uri),
  });
  service.folders = [root];
  for (const name of new Set([caret!.file, ...open])) service.put(uri(name), 1, files.get(name)!);
  return { service, files, file: uri(caret!.file), offset: caret!.offset };
}

async function renamed(source: string, name: string, ...open: string[]): Promise<Record<string, string> | string> {
  const { service, files, file, offset } = opened(source, ...open);
  const edits = (await service.withRelatives(file, (view, others) => rename(view, offset, name, others)))!;
  if ("refused" in edits) return edits.refused;
  const texts: Record<string, string> = {};
  for (const { place, text } of [...edits].sort((a, b) => b.place.from - a.place.from)) {
    const short = place.file.slice(root.length + 1);
    const old = texts[short] ?? files.get(short)!;
    texts[short] = old.slice(0, place.from) + text + old.slice(place.to);
  }
  return texts;
}

const house = `
  use "parts.camleaf"
  supply 120/240 V 60 Hz
  switch S1 of type Q7
  wire L1 to S1.C
  wire S1.A to HT to L2
  heater HT 2400 W 240 V
  expect HT off when S1 off
  #- parts.camleaf
  type Q7 switch {
    positions on off
    contact C to A in on rated 30 A 240 V
  }
  type Q8 lamp { 10 W 120 V }
  #- other.camleaf
  use "parts.camleaf"
  supply single 120 V 60 Hz
  switch Q of type Q7
  lamp LA of type Q8
  wire L to Q to LA to N
  expect LA on when Q on
  note LA "Q7 is not mentioned here"
  #- apart.camleaf
  supply single 120 V 60 Hz
  type Q7 lamp { 5 W 120 V }
  lamp LA of type Q7
  wire L to LA to N
`;
const caretAt = (before: string, after: string) => house.replace(before + after, `${before}▮${after}`);
/** What becomes of the house when a word is replaced in some files. */
const with_ = (changes: Record<string, [string | RegExp, string][]>) => {
  const { files } = readFixture(house);
  return Object.fromEntries(
    Object.entries(changes).map(([name, pairs]) => [
      name,
      pairs.reduce((text, [old, word]) => text.replaceAll(old, word), files.get(name)!),
    ]),
  );
};

describe("names across files", () => {
  it("a type is renamed where it is described and where it is used, open or not, and no other of that name", async () => {
    const expected = with_({
      "main.camleaf": [["type Q7", "type QX"]],
      "parts.camleaf": [["type Q7", "type QX"]],
      "other.camleaf": [["type Q7", "type QX"]],
    });
    expect(await renamed(caretAt("S1 of type ", "Q7"), "QX")).toEqual(expected);
    expect(await renamed(caretAt("type ", "Q7 switch"), "QX")).toEqual(expected);
    expect(await renamed(caretAt("switch Q of type ", "Q7"), "QX", "main.camleaf")).toEqual(expected);
    const own = await renamed(caretAt("lamp LA of type ", "Q7"), "QX");
    expect(own).toEqual(with_({ "apart.camleaf": [["type Q7", "type QX"]] }));
  });

  it("a terminal of the type, from any side", async () => {
    const expected = with_({ "main.camleaf": [["S1.C", "S1.K"]], "parts.camleaf": [["contact C", "contact K"]] });
    expect(await renamed(caretAt("wire L1 to S1.", "C"), "K")).toEqual(expected);
    expect(await renamed(caretAt("contact ", "C to A"), "K")).toEqual(expected);
  });

  it("a position of the type", async () => {
    const expected = with_({
      "main.camleaf": [["S1 off", "S1 idle"]],
      "parts.camleaf": [["on off", "on idle"]],
    });
    expect(await renamed(caretAt("S1 ", "off"), "idle")).toEqual(expected);
    const made = await renamed(caretAt("A in ", "on"), "made");
    expect(made).toEqual(
      with_({
        "parts.camleaf": [
          ["positions on", "positions made"],
          ["in on", "in made"],
        ],
        "other.camleaf": [["Q on", "Q made"]],
      }),
    );
  });

  it("is refused with the file and line where the name is taken", async () => {
    expect(await renamed(caretAt("S1 of type ", "Q7"), "Q8")).toMatch(/^Q8 (cannot be the name|already means)/);
    expect(await renamed(caretAt("contact ", "C to A"), "A")).toMatch(/^A (cannot be the name|already means)/);
    // The new name collides in a file that is not even open.
    const taken = `${house.trimEnd()}
  #- third.camleaf
  use "parts.camleaf"
  supply single 120 V 60 Hz
  type QX lamp { 5 W 120 V }
  switch Q of type Q7
  lamp LB of type QX
  wire L to Q to LB to N
`;
    expect(await renamed(taken.replace("S1 of type Q7", "S1 of type ▮Q7"), "QX")).toMatch(/third\.camleaf/);
  });

  it("files changed by others are read again where nobody tells of it", async () => {
    const { service, files, file, offset } = opened(caretAt("contact ", "C to A"));
    service.watched = false;
    const told = () => service.withRelatives(file, (view, others) => rename(view, offset, "K", others));
    const lengths = async () => {
      const edits = await told();
      return Array.isArray(edits) ? edits.map(({ place }) => place.file.slice(root.length + 1)).sort() : edits;
    };
    expect(await lengths()).toEqual(["main.camleaf", "parts.camleaf"]);
    (files as Map<string, string>).set(
      "other.camleaf",
      files.get("other.camleaf")!.replace("L to Q to", "L to Q.C\nwire Q.A to"),
    );
    expect(await lengths()).toEqual(["main.camleaf", "other.camleaf", "parts.camleaf"]);
    (files as Map<string, string>).delete("main.camleaf");
    expect(await lengths()).toEqual(["other.camleaf", "parts.camleaf"]);
  });

  it("definition and references reach the other files", async () => {
    const { service, file, offset } = opened(caretAt("type ", "Q7 switch"));
    const found = await service.withRelatives(file, (view, others) => references(view, offset, others));
    expect(found!.map(({ place }) => place.file.slice(root.length + 1)).sort()).toEqual([
      "main.camleaf",
      "other.camleaf",
      "parts.camleaf",
    ]);
    expect(service.atOnce(file, (view) => definition(view, offset))).toHaveLength(1);
  });

  it("a file of types alone knows its own names", async () => {
    const source = `
      type Q switch {
        positions shut open
        contact ▮C to A in shut rated 15 A 125 V
      }
    `;
    const { service, file, offset } = opened(source);
    expect(service.atOnce(file, (view) => prepareRename(view, offset))).toMatchObject({ name: "C" });
    expect(await renamed(source, "K")).toEqual({
      "main.camleaf": readFixture(source).text.replace("C to A", "K to A"),
    });
  });
});
