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

it("an igniter heats by what feeds it, not because gas flows", () => {
  const [machine] = viewOf(sample("gas-burner"), [], true).view.machines;
  const facts = machine!.machine.loads.flatMap(({ id }) => loadReadout(machine!, id).facts.map(({ text }) => text));
  expect(facts.join("\n")).not.toMatch(/GV\.(first|second) (open|shut)/);
  expect(facts.join("\n")).toMatch(/CT closed, FS cold/);
});
