/** Edits that cannot be done are told at their line, and equal machines in other words differ in nothing. */
import * as fc from "fast-check";
import { describe, expect, test } from "vitest";
import { compareMachines } from "../../server/proposals/compare.ts";
import { isEmptyDifference } from "../../server/proposals/difference.ts";
import { machinesOf, toEnd } from "../checks/analysed.ts";
import { linesOf, proposed, sample } from "./support.ts";

const troubles = (edit: string) => {
  const text = `proposal "x" {\n  ${edit}\n}\n`;
  const { findings, verdict } = proposed("electric-dryer", text);
  expect(verdict).toBeUndefined();
  return findings.map(({ place, what }) => `${text.slice(place.from, place.to).trim()} | ${what}`);
};

describe("what stands in the way is told at the edit", () => {
  test.each([
    ["remove wire L1 to TM.B", /^remove wire L1 to TM\.B \| No wire runs straight from L1 to TM\.B/],
    ["remove XX", /^remove XX \| There is no part called XX/],
    ["jumper CT.1 to CX.2", /^jumper CT\.1 to CX\.2 \| .*CX/],
    ["move HT.9 to L2", /^move HT\.9 to L2 \| There is no terminal HT\.9/],
    ["replace TM by type Q77", /^replace TM by type Q77 \| .*Q77/],
    ["change ZZ to 4800 W", /^change ZZ to 4800 W \| .*no part called ZZ/],
    ["add heater HT 100 W 120 V", /^add heater HT 100 W 120 V \| Two parts are called HT/],
    ["rename TM to DM", /^rename TM to DM \| Another part is called DM/],
  ])("%s", (edit, said) => {
    const told = troubles(edit);
    expect(told.length).toBeGreaterThan(0);
    expect(told[0]).toMatch(said);
  });

  test("two edits of one thing", () => {
    expect(troubles("change HT to 4800 W\n  change HT to 5000 W")[0]).toMatch(/Another edit changes the same thing/);
  });
});

describe("edits do what they say", () => {
  test("a smaller coil: 4800/5400 of the watts", () => {
    const { difference } = proposed("electric-dryer", 'proposal "x" { change HT to 4800 W }');
    const heat = difference!.loads.find(({ load }) => load.startsWith("HT"))!;
    expect(heat.watts![1] / heat.watts![0]).toBeCloseTo(4800 / 5400, 3);
  });

  test("a lower rating of one timer contact is found", () => {
    const result = proposed("electric-dryer", 'proposal "x" { change TM.heat rated 15 A 250 V }');
    expect(linesOf(result).join("\n")).toMatch(/danger: New: TM\.heat.*22\.5 A; rated 15 A/);
  });

  test("the limit taken out leaves the coil dead, the limit wired past leaves it bare", () => {
    const out = proposed("electric-dryer", 'proposal "x" { remove HL }');
    expect(out.difference!.loads.find(({ load }) => load.startsWith("HT"))).toMatchObject({ after: "never" });
    const past = proposed("electric-dryer", 'proposal "x" {\n jumper HL.1 to HL.2\n}');
    expect(past.verdict!.headline).toMatch(/^DANGER: HL .* is bridged/);
  });

  test("a wire's end on another point: the limit is wired past", () => {
    const past = proposed("electric-dryer", 'proposal "x" {\n move wire CT to HL end HL.1 to HL.2\n}');
    expect(linesOf(past).join("\n")).toMatch(/Protection lost: the limit HL/);
  });

  test("a proposal on top of another", () => {
    const both = 'proposal "a" {\n jumper HL.1 to HL.2\n}\nproposal "b" with "a" {\n change HT to 4800 W\n}';
    expect(proposed("electric-dryer", both).verdict!.headline).toMatch(/^DANGER: HL/);
  });
});

describe("another part in the place of one", () => {
  const part = (edit: string, name: string, base = "electric-dryer") => {
    const { machine } = proposed(base, `proposal "x" {\n  ${edit}\n}`);
    return { machine: machine!, part: machine!.parts.find((each) => each.name === name)! };
  };

  test("is bolted and sits where the old one was, and senses what that sensed", () => {
    const { machine, part: coil } = part("replace HT by heater 4800 W 240 V", "HT");
    expect(coil.frame).toBeDefined();
    expect(machine.terminals[coil.frame!]!.fullName).toBeTruthy();
    const limit = part("replace HL by limit opens 110 C closes 80 C rated 25 A 240 V", "HL");
    expect(limit.machine.contacts[limit.part.contacts[0]!]!.senses).toHaveLength(1);
    expect(part("replace CT by thermostat opens 70 C closes 60 C rated 25 A 240 V", "CT").part.at).toBe(
      "blower housing",
    );
  });

  test("says it otherwise where it does", () => {
    const text = 'replace CT by thermostat opens 70 C closes 60 C at "exhaust" rated 25 A 240 V';
    expect(part(text, "CT").part.at).toBe("exhaust");
  });

  test("moves what the old motor moved, with the guard", () => {
    const edit =
      "replace DM by motor 120 V 3/4 hp thermally-protected {\n    winding high 4 to 9 4 poles runs 9 A pf 0.6\n    winding low 7 to 9 6 poles runs 7 A pf 0.5\n    winding start 5 to 6 starts 11 A pf 0.75\n    speed-switch {\n      contact 8 to 5 while stopped rated 20 A 125 V\n    }\n    turns left with 4 and 5 alike\n  }";
    const { machine } = part(edit, "DM", "top-loading-washer");
    expect(machine.guards.map(({ hazard }) => hazard)).toEqual(["basket"]);
  });
});

describe("equal machines in other words", () => {
  test("a part by another name", () => {
    const { difference } = proposed("electric-dryer", 'proposal "x" {\n rename CT to THERM\n rename TM to T1\n}');
    expect(isEmptyDifference(difference!)).toBe(true);
  });

  test("wires in another order, or through a splice", () => {
    const text = sample("electric-dryer");
    const lines = text.split("\n");
    const wires = lines.filter((line) => line.startsWith("wire "));
    const rest = lines.filter((line) => !line.startsWith("wire ")).join("\n");
    const base = machinesOf(text)[0]!;
    const order = fc.shuffledSubarray(wires, { minLength: wires.length });
    fc.assert(
      fc.property(order, fc.nat(wires.length - 1), (shuffled, at) => {
        const [, a, b] = /^wire (\S+) to (\S+)/.exec(shuffled[at]!)!;
        const spliced = shuffled.with(at, shuffled[at]!.replace(`wire ${a} to ${b}`, `wire ${a} to SP to ${b}`));
        const changed = machinesOf(`${rest}\nsplice SP\n${spliced.join("\n")}\n`)[0]!;
        const difference = toEnd(compareMachines(base, changed));
        if (!isEmptyDifference(difference)) throw new Error(JSON.stringify(difference, undefined, 1));
      }),
      { numRuns: 12 },
    );
  });
});
