/** Expectations as tests of an editor: which there are, and what became of each. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { stateOfNames } from "../../server/editor/chosen-state.ts";
import { expectationsOf } from "../../server/editor/expectations.ts";
import { viewOf } from "./support.ts";

const dryer = readFileSync(join(import.meta.dirname, "../../samples/electric-dryer.camleaf"), "utf8");

describe("expectations", () => {
  it("are listed at once, in text order, without a judgement", () => {
    const { view } = viewOf(dryer);
    const all = expectationsOf(view, true);
    expect(all.map(({ words }) => words).slice(0, 2)).toEqual([
      "HT heats when TM in timed or auto, DM running, CT closed",
      "HT off when DOOR open",
    ]);
    expect(all.every(({ judged }) => judged === undefined)).toBe(true);
    expect(view.text.slice(all[1]!.place.from, all[1]!.place.to)).toBe("expect HT off when DOOR open");
  });

  it("all hold in the dryer", () => {
    const { view } = viewOf(dryer, [], true);
    expect(expectationsOf(view, true).map(({ judged }) => judged?.proof)).toEqual(Array(8).fill("holds"));
  });

  it("come with a state that speaks against them, which the machine can reach", () => {
    // The coil heats with the motor running, and with the door open it does not: one is said the wrong way round.
    const { view } = viewOf(`${dryer}expect HT off when TM in timed\nexpect HT off when CT sideways\n`, [], true);
    const [against, unclear] = expectationsOf(view, true).slice(-2);
    expect(against!.judged).toMatchObject({
      proof: "refuted",
      words: "This does not hold: in a state that fits, it heats.",
      state: "TM in timed 1, DM running",
      steps: ["press START", "turn TM to timed 1", "let go of START"],
    });
    const engine = view.machines[0]!.engine!;
    expect(stateOfNames(engine, against!.judged!.names!)).toBeDefined();
    expect(unclear!.judged?.proof).not.toBe("holds");
  });

  it("keep their ids while lines above them come and go, and stay apart when written twice", () => {
    const twice = `${dryer}expect HT off when DOOR open\n`;
    const ids = expectationsOf(viewOf(twice).view, false).map(({ id }) => id);
    expect(new Set(ids).size).toBe(ids.length);
    expect(expectationsOf(viewOf(`# a line more\n${twice}`).view, false).map(({ id }) => id)).toEqual(ids);
  });
});
