/** Hints: small numbers beside the names. */
import { describe, expect, it } from "vitest";
import { hints } from "../../server/editor/hints.ts";
import { viewOf } from "./support.ts";

/** `HT 22.5 A`: the word that a hint stands behind, and its text. */
function hintsOf(source: string, from = 0, to = Number.MAX_SAFE_INTEGER, analysed = true): string[] {
  const { view } = viewOf(source, [], analysed);
  return hints(view, from, to).map((hint) => `${/\S+$/.exec(view.text.slice(0, hint.offset))?.[0]} ${hint.text}`);
}

// 1200 W at 120 V are 10 A (watts / volts), 50 % of 20 A.
const machine = `
machine "m"
supply 120 V 60 Hz
switch SW 1 to 2 closed in on, open in off rated 20 A 125 V
limit HL opens 121 C closes 93 C
heater HT 1200 W 120 V
valve VA 120 V
wire L to SW to HL to HT to N
wire SW.2 to VA to N
`;

describe("hints", () => {
  it("say the most amps of a load and the share of its rating that a contact takes", () => {
    expect(hintsOf(machine)).toEqual(["SW carries 50 % of its rating", "HT 10 A"]);
  });

  it("keep to the stretch of text that is asked for", () => {
    expect(hintsOf(machine, 0, machine.indexOf("limit"))).toEqual(["SW carries 50 % of its rating"]);
  });

  it("say nothing while the states are still being worked out", () => {
    expect(hintsOf(machine, 0, Number.MAX_SAFE_INTEGER, false)).toEqual([]);
  });
});
