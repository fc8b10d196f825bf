/** What only follows (the seat of a gas valve: nothing electrical hangs on it) neither tells states of other loads apart nor explains them. */
import { expect, it } from "vitest";
import { loadReadout } from "../../server/editor/readout.ts";
import { viewOf } from "../editor/support.ts";
import { linesOf, proposedTo, sample } from "./support.ts";

const burnerWithLamp = `${sample("gas-burner")}
lamp PL "mains lamp" 5 W 120 V
wire L to PL to N`;

it("with the burner's limit bridged the igniter and the valve are told, not a lamp that nothing switches", () => {
  const lines = linesOf(
    proposedTo(burnerWithLamp, 'use "../machine.camleaf"\nproposal "x" {\n jumper HL.1 to HL.2\n}\n'),
  );
  expect(lines.filter((line) => /\bPL\b/.test(line))).toEqual([]);
  expect(lines.filter((line) => /^change: IG .*HL closed.*now when/.test(line))).toHaveLength(1);
});

it("a heater that is taken out cannot defeat its guard", () => {
  const circulator = `machine "Larkfield Q1 immersion circulator"
    supply single 230 V 50 Hz breaker 16 A legs L N PE
    level FL "float switch" {
      water low ok
      contact 1 to 2 in ok rated 16 A 250 V
    }
    limit TC opens 110 C hand-reset senses HT rated 16 A 250 V
    heater HT "immersion element" 1800 W 230 V guarded by FL in ok
    lamp PL 5 W 230 V
    wire L to TC to FL to HT to N
    wire L to PL to N`;
  const done = (edit: string) =>
    linesOf(proposedTo(circulator, `use "../machine.camleaf"\nproposal "x" {\n ${edit}\n}\n`));
  expect(done("remove HT").filter((line) => line.startsWith("danger"))).toEqual([]);
  expect(done("jumper FL.1 to FL.2").filter((line) => line.includes("Guard defeated"))).toHaveLength(1);
});

it("an igniter heats by what feeds it, not because gas flows", () => {
  const [machine] = viewOf(sample("gas-burner"), [], true).view.machines;
  const facts = machine!.machine.loads.flatMap(({ id }) => loadReadout(machine!, id).facts.map(({ text }) => text));
  expect(facts.join("\n")).not.toMatch(/GV\.(first|second) (open|shut)/);
  expect(facts.join("\n")).toMatch(/CT closed, FS cold/);
});
