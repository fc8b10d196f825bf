/** A proposal carried out in the text: what it says has been done, everything else stands as it stood. */
import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import { parse } from "../../grammar/parse.ts";
import type { ProposalStatement } from "../../grammar/tree.ts";
import { buildCircuit } from "../../server/circuit/build.ts";
import { type Machine, resolveMachines } from "../../server/machine/index.ts";
import { applyProposal } from "../../server/proposals/apply.ts";
import { compareMachines } from "../../server/proposals/compare.ts";
import { differenceOf, isEmptyDifference } from "../../server/proposals/difference.ts";
import { type Afterwards, newText } from "../../server/proposals/new-text.ts";
import { makeExactEngine } from "../../server/states/exact/exact-engine.ts";
import { toEnd } from "../checks/analysed.ts";
import { type DrawnEdit, drawnProposals, proposalText } from "./random-proposal.ts";
import { proposed, sample } from "./support.ts";

function carriedOut(text: string, afterwards: Afterwards = "gone", which = -1) {
  const files = new Map([["m.camleaf", parse(text)]]);
  const base = resolveMachines(files, "m.camleaf")[0]!;
  const all = files
    .get("m.camleaf")!
    .statements.filter((each): each is ProposalStatement => each.statement === "proposal");
  return newText(base, files, { statement: all.at(which)!, file: "m.camleaf" }, afterwards);
}

const machine = `# A fan heater for a shed.
supply single 120 V 60 Hz
switch S1 { positions off on
  contact 1 to 2 in on rated 15 A 125 V   # the one that burns
}
limit HL opens 110 C closes 90 C senses HT rated 15 A 125 V
heater HT 1200 W 120 V
note HL "fitted 2019"
# The whole of it in one chain:
wire L to S1 to HL to HT to N  BK 14 AWG   # black all the way
`;
const done = (edits: string, afterwards?: Afterwards) =>
  carriedOut(`${machine}\nproposal "try" {\n  ${edits}\n}\n`, afterwards)?.text;

describe("chains", () => {
  const chain = (edits: string) =>
    done(edits)!
      .split("\n")
      .filter((line) => line.startsWith("wire"))
      .map((line) => line.replace(/ +#/, " #"))
      .join("\n");

  it("are cut where a wire is taken out, each piece with its colour and size", () => {
    expect(chain("remove wire S1.2 to HL.1")).toBe(
      "wire L to S1.1  BK 14 AWG\nwire HL.2 to HT to N  BK 14 AWG # black all the way",
    );
    expect(chain("remove wire L to S1.1")).toBe("wire S1.2 to HL to HT to N  BK 14 AWG # black all the way");
  });

  it("end where a wire's end was moved to", () => {
    expect(chain("move wire S1 to HL end HL.1 to HT.1")).toBe(
      "wire L to S1 to HT.1  BK 14 AWG\nwire HL.2 to HT to N  BK 14 AWG # black all the way",
    );
  });

  it("go when nothing of them is left", () => {
    expect(
      chain("remove wire L to S1.1\n remove wire S1.2 to HL.1\n remove wire HL.2 to HT.1\n remove wire HT.2 to N"),
    ).toBe("");
  });
});

describe("the rest of the text", () => {
  it("stands letter by letter, new parts behind the parts and new wires behind the wires", () => {
    expect(done("add lamp PL 5 W 120 V\n  wire S1.2 to PL to N")).toBe(
      machine
        .replace("heater HT 1200 W 120 V\n", "heater HT 1200 W 120 V\nlamp PL 5 W 120 V\n")
        .replace("black all the way\n", "black all the way\nwire S1.2 to PL to N\n"),
    );
  });

  it("keeps the proposal as a remark where that is wished", () => {
    expect(done("change HT to 1000 W", "remark")).toBe(
      `${machine.replace("1200 W", "1000 W")}\n# Done: try\n#   change HT to 1000 W\n`,
    );
  });

  it("loses a part with its note, its chain cut", () => {
    const text = done("remove HL\n  wire S1.2 to HT.1")!;
    expect(text).not.toContain("HL");
    expect(text).toContain("wire S1.2 to HT.1");
  });

  it("keeps a part that others ask for, without a wire", () => {
    const text = carriedOut(`${machine}expect HT off when S1 off\nproposal "x" {\n  remove S1\n}\n`)!.text;
    expect(text).toContain("switch S1");
    expect(text).toContain("wire HL.2 to HT to N");
    expect(text).not.toMatch(/wire .*S1/);
  });

  it("calls a part by its new name everywhere", () => {
    const text = carriedOut(`${machine}expect HT off when S1 off\nproposal "x" {\n  rename S1 to MAIN\n}\n`)!.text;
    expect(text).toContain("switch MAIN");
    expect(text).toContain("wire L to MAIN to HL");
    expect(text).toContain("when MAIN off");
    expect(text).not.toContain("S1");
  });

  it("other proposals that stood on it stand on the machine", () => {
    const two = `${machine}proposal "one" {\n  change HT to 1000 W\n}\nproposal "two" with "one" {\n  jumper HL.1 to HL.2\n}\n`;
    const text = carriedOut(two, "gone", 0)!.text;
    expect(text).toContain('proposal "two" {');
    expect(text).not.toContain('"one"');
    // Carried out itself, the second one brings the first one along.
    expect(carriedOut(two)!.text).not.toContain("proposal");
  });
});

describe("the six samples, carried out", () => {
  it.each([
    ["electric-dryer", "coil-on-the-other-leg"],
    ["electric-dryer", "dryer-on-208-volts"],
    ["top-loading-washer", "lid-held-for-spin-test"],
    ["top-loading-washer", "relay-for-the-motor"],
    ["top-loading-washer", "smaller-timer"],
    ["electric-dryer", "thermostat-jumped"],
  ])("%s: %s differs in nothing from what the proposal gives", (base, name) => {
    const { machine: wanted } = proposed(base, sample(`proposals/${name}`));
    const files = new Map(
      Object.entries({
        [`${base}.camleaf`]: sample(base),
        "parts.camleaf": sample("parts"),
        "p/p.camleaf": sample(`proposals/${name}`),
      }).map(([file, text]) => [file, parse(text)]),
    );
    const before = resolveMachines(files, `${base}.camleaf`)[0]!;
    const statement = files
      .get("p/p.camleaf")!
      .statements.findLast((each): each is ProposalStatement => each.statement === "proposal")!;
    const found = newText(before, files, { statement, file: "p/p.camleaf" }, "remark")!;
    const difference = toEnd(compareMachines(wanted!, found.machine));
    expect(difference).toSatisfy(isEmptyDifference);
    // In the proposal's own file the block is a remark, and its types have gone with it.
    const home = found.edits
      .filter(({ place }) => place.file === "p/p.camleaf")
      .map(({ text }) => text)
      .join("");
    expect(home).toContain("# Done:");
  });
});

describe("random proposals on the samples", () => {
  const names = ["electric-dryer", "top-loading-washer", "gas-burner", "fan-heater"];
  const parts = parse(sample("parts"));

  /** Every proposal that can be done can be done in the text, to the same circuit. */
  function check(name: string, drawn: readonly DrawnEdit[]): "no proposal" | "cannot be done" | "done" {
    const text = sample(name);
    const bare = resolveMachines(
      new Map([
        [`${name}.camleaf`, parse(text)],
        ["parts.camleaf", parts],
      ]),
      `${name}.camleaf`,
    )[0]!;
    const block = proposalText(bare, drawn);
    if (!block.includes("\n  ")) return "no proposal";
    const whole = `${text}\n${block}`;
    const files = new Map([
      [`${name}.camleaf`, parse(whole)],
      ["parts.camleaf", parts],
    ]);
    const base = resolveMachines(files, `${name}.camleaf`)[0]!;
    const statement = files
      .get(`${name}.camleaf`)!
      .statements.findLast((each): each is ProposalStatement => each.statement === "proposal")!;
    const place = { statement, file: `${name}.camleaf` };
    const applied = applyProposal(base, files, place);
    if (!applied.machine) return "cannot be done";
    const found = newText(base, files, place, "gone");
    if (!found) throw new Error(`not written in text:\n${block}`);
    expect(found.text).not.toContain("proposal");
    const side = (machine: Machine) => ({ engine: toEnd(makeExactEngine(buildCircuit(machine))), findings: [] });
    expect(toEnd(differenceOf(side(applied.machine), side(found.machine)))).toSatisfy(isEmptyDifference);
    // The edits come to the text.
    const done = [...found.edits]
      .sort((a, b) => b.place.from - a.place.from)
      .reduce((all, { place: { from, to }, text: words }) => all.slice(0, from) + words + all.slice(to), whole);
    expect(done).toBe(found.text);
    // Remarks stay, but for those behind a statement that is gone.
    if (!/\n {2}(remove|replace)/.test(block))
      for (const [remark] of text.matchAll(/#.*/g)) expect(found.text).toContain(remark.trimEnd());
    return "done";
  }

  it("are all carried out, to the very circuit that the proposal gives", () => {
    let count = 0;
    fc.assert(
      fc.property(fc.constantFrom(...names), drawnProposals(), (name, drawn) => {
        if (check(name, drawn) === "done") count++;
      }),
      { numRuns: Math.ceil(Number(process.env.RUNS ?? 5000) / 60) },
    );
    expect(count).toBeGreaterThan(40);
  });
});

describe("half-typed proposals", () => {
  const block = `proposal "x" with "y" {
  jumper CT.1 to CT.2
  add relay K "motor relay" {
    coil A1 to A2  120 V draws 40 mA
    contact 1 to 2 while energised  rated 10 A 125 V
  }
  remove wire L1 to TM.C
  move wire TM.D to CT end CT.1 to HL.1
  replace HT by heater 4800 W 240 V
  change TM.heat rated 15 A 250 V
  change supply 120/208 V
  rename TM to T1
  remove HL
}
`;
  it("are never carried out by half, whatever is missing, and nothing throws", () => {
    const dryer = sample("electric-dryer");
    for (let length = 9; length <= block.length; length += 7) {
      for (const piece of [block.slice(0, length), block.slice(0, 22) + block.slice(length)]) {
        const text = `${dryer}\n${piece}`;
        const files = new Map([["m", parse(text)]]);
        const base = resolveMachines(files, "m")[0]!;
        for (const statement of files.get("m")!.statements) {
          if (statement.statement !== "proposal") continue;
          const errors = files.get("m")!.errors.some(({ from }) => from >= statement.from && from <= statement.to);
          const found = newText(base, files, { statement, file: "m" }, "gone");
          if (errors) expect(found).toBeUndefined();
        }
      }
    }
  });
});
