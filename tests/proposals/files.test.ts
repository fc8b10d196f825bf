/** Proposals in files of their own: what their `use` lines bring, and parts of the machine that are described by a type. */
import { describe, expect, it } from "vitest";
import { parse } from "../../grammar/parse.ts";
import type { ProposalStatement } from "../../grammar/tree.ts";
import { resolveMachines } from "../../server/machine/index.ts";
import { nodePlatform } from "../../server/node/platform.ts";
import { applyProposal } from "../../server/proposals/apply.ts";
import { compareProposal } from "../../server/proposals/compare.ts";
import { newText } from "../../server/proposals/new-text.ts";
import { circuitDifference } from "../../server/proposals/same-circuit.ts";
import { Service } from "../../server/service.ts";
import { toEnd } from "../checks/analysed.ts";

const base = `use "types/common.camleaf"
machine "m"
supply single 120 V 60 Hz breaker 15 A legs L N PE
frame CAB "cabinet"
timer TM "timer" of type T1 {
  at "panel"
}
limit HL opens 110 C closes 90 C senses HT rated 15 A 125 V
heater HT of type H12 { on CAB }
valve WV of type V12
valve WX of type V12
wire L to TM(H A) to HL to HT to N
wire TM.B to WV to N
wire TM.B to WX to N
bond CAB to PE
`;
const common = `type T1 timer {
  contact heat  H to A  rated 15 A 125 V
  contact water H to B  rated 5 A 125 V
  chart 1 min per step {
    steps  off 1  on 2
    heat   -      XX
    water  -      -X
  }
}
type H12 heater "coil" 1200 W 120 V
type V12 valve 120 V draws 90 mA pf 0.6 resistance 780 ohm
`;
const more = `use "deeper/more.camleaf"\ntype H10 heater 1000 W 120 V\n`;
const deeper = 'type H9 heater "weak coil" 900 W 120 V\n';

function files(proposal: string) {
  return new Map(
    Object.entries({
      "m.camleaf": base,
      "types/common.camleaf": common,
      "p/p.camleaf": `use "../m.camleaf"\nuse "../lib/more.camleaf"\n${proposal}`,
      "lib/more.camleaf": more,
      "lib/deeper/more.camleaf": deeper,
    }).map(([name, text]) => [name, parse(text)]),
  );
}

function done(proposal: string) {
  const all = files(proposal);
  const machine = resolveMachines(all, "m.camleaf")[0]!;
  const statement = all
    .get("p/p.camleaf")!
    .statements.find((each): each is ProposalStatement => each.statement === "proposal")!;
  return { machine, all, place: { statement, file: "p/p.camleaf" } };
}

function applied(edits: string, more = "") {
  const { machine, all, place } = done(`${more}proposal "x" {\n  ${edits}\n}\n`);
  return applyProposal(machine, all, place);
}
const watts = ({ machine }: ReturnType<typeof applied>, name: string) =>
  machine?.loads.find((load) => load.name === name)?.ratedWatts;
const told = ({ findings }: ReturnType<typeof applied>) => findings.map(({ what }) => what).join(" ");

describe("types", () => {
  it("of the proposal's own file, of one that it uses, and of one used further", () => {
    expect(watts(applied("replace HT by type H8", "type H8 heater 800 W 120 V\n"), "HT")).toBe(800);
    expect(watts(applied("replace HT by type H10"), "HT")).toBe(1000);
    expect(watts(applied("replace HT by type H9"), "HT")).toBe(900);
    expect(watts(applied("add heater HX of type H9\n  wire TM.A to HX to N"), "HX")).toBe(900);
  });

  it("that nobody describes, or that the machine knows as another one, are told at the edit", () => {
    expect(told(applied("replace HT by type H77"))).toContain("H77");
    expect(told(applied("replace HT by type H12", "type H12 heater 700 W 120 V\n"))).toContain(
      "The machine's own text knows another type called H12.",
    );
  });

  it("move into the machine's text with the proposal", () => {
    const own = done('type H8 heater 800 W 120 V\nproposal "x" {\n  replace HT by type H8\n}\n');
    const found = newText(own.machine, own.all, own.place, "gone")!;
    expect(found.text).toContain('use "types/common.camleaf"\n\ntype H8 heater 800 W 120 V\n');
    const gone = found.edits.filter(({ place }) => place.file === "p/p.camleaf");
    expect(gone).toHaveLength(2);
    expect(gone.every(({ text }) => text === "")).toBe(true);
  });
});

describe("a part of a model", () => {
  it("is changed without the others of its type", () => {
    const other = applied("change WV to draws 150 mA");
    const amps = (name: string) => other.machine!.loads.find((load) => load.name === name)!.ratedAmps;
    expect([amps("WV"), amps("WX")]).toEqual([0.15, 0.09]);
    expect(watts(applied("change HT to 1100 W"), "HT")).toBe(1100);
  });

  it("has contacts and windings of its type changed, several at once", () => {
    const { machine, findings } = applied("change TM.heat rated 20 A 125 V\n  change TM.water rated 7 A 125 V");
    expect(findings).toEqual([]);
    const ratings = machine!.contacts.flatMap(({ name, ratings: all }) => all.map(({ text }) => `${name} ${text}`));
    expect(ratings).toEqual(expect.arrayContaining(["TM.heat 20 A 125 V", "TM.water 7 A 125 V"]));
  });

  it("is what it was when it is changed to what it is, its place and frame with it", () => {
    const same = applied("change HT to 1200 W\n  change TM.heat rated 15 A 125 V");
    const before = resolveMachines(files(""), "m.camleaf")[0]!;
    const untyped = { ...before, parts: before.parts.map((part) => ({ ...part, type: undefined })) };
    const after = { ...same.machine!, parts: same.machine!.parts.map((part) => ({ ...part, type: undefined })) };
    expect(circuitDifference(untyped, after, new Set())).toBeUndefined();
  });

  it("tells what it has not, and two changes of one thing", () => {
    expect(told(applied("change TM.cold rated 5 A 125 V"))).toContain("TM has nothing written as cold");
    expect(told(applied("change HT to 1100 W\n  change HT to 1000 W"))).toContain(
      "Another edit changes the same thing",
    );
  });

  it("is written out in the machine's text when the proposal is carried out", () => {
    const { machine, all, place } = done('proposal "x" {\n  change TM.heat rated 20 A 125 V\n}\n');
    const { text } = newText(machine, all, place, "gone")!;
    expect(text).toMatch(/timer TM "timer" \{\n {2}contact heat +H to A +rated 20 A 125 V\n/);
    expect(text).toContain('  at "panel"\n');
    expect(text).toContain("valve WX of type V12");
  });
});

describe("in the workspace", () => {
  it("a change in a type two files away changes the comparison", async () => {
    const texts = new Map([
      ["/w/m.camleaf", base],
      ["/w/types/common.camleaf", common],
      ["/w/lib/more.camleaf", more],
      ["/w/lib/deeper/more.camleaf", deeper],
    ]);
    const service = new Service({ ...nodePlatform, readFile: async (file) => texts.get(file) });
    service.folders = ["/w"];
    service.put(
      "/w/p/p.camleaf",
      1,
      'use "../m.camleaf"\nuse "../lib/more.camleaf"\nproposal "x" {\n  replace HT by type H9\n}\n',
    );
    const most = async () => {
      const [view] = (await service.analysed("/w/p/p.camleaf"))!.proposals!;
      return view!.comparison.difference!.loads.find(({ load }) => load.startsWith("HT"))!.watts;
    };
    expect((await most())!.map(Math.round)).toEqual([1200, 900]);
    texts.set("/w/lib/deeper/more.camleaf", deeper.replace("900 W", "700 W"));
    service.filesChanged(["/w/lib/deeper/more.camleaf"]);
    expect((await most())!.map(Math.round)).toEqual([1200, 700]);
  });

  it("a comparison of files tells what is new in the machine alone", () => {
    const { machine, all, place } = done('proposal "x" {\n  replace HT by type H9\n}\n');
    const { difference, fits } = toEnd(compareProposal(machine, all, place));
    expect(difference!.loads.map(({ load, change }) => `${load} ${change}`)).toEqual(["HT (weak coil) changed"]);
    expect(fits![0]).toMatchObject({ part: "HT", by: "H9" });
  });
});
