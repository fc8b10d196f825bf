/** Lines above loads and contacts. */
import { describe, expect, it } from "vitest";
import { lenses, lensText } from "../../server/editor/lenses.ts";
import { viewOf } from "./support.ts";

/** `HT: heats when SW on` */
function linesOf(source: string, analysed = true): string[] {
  const { view } = viewOf(source, [], analysed);
  return lenses(view).map(({ from, to, about }) => `${view.text.slice(from, to)}: ${lensText(view, about)}`);
}

// 2400 W at 120 V are 20 A (watts / volts). A cold filament of 10 W at 240 V adds its first rush to what is made.
const machine = `
supply single 120 V 60 Hz
switch SW 1 to 2 closed in on, open in off rated 25 A 125 V
limit HL opens 121 C closes 93 C rated 25 A 24 V
heater HT 2400 W 120 V
lamp LA 10 W 120 V
lamp LB 10 W 240 V
switch OLD 1 to 2 closed in on, open in off rated 5 A 125 V
wire L to SW to HL to HT to N
wire SW.2 to LB to N
`;

describe("lines above parts", () => {
  it("say what a contact carries against its rating, and when a load works", () => {
    expect(linesOf(machine)).toEqual([
      "SW: carries 20 A, makes 20.3 A: 81 % of its rating",
      "HL: carries 20 A: not rated at 120 V",
      "HT: heats when SW on, HL closed",
      "LA: never lights",
      "LB: only weak, when SW on",
      "OLD: carries nothing in any state",
    ]);
  });

  it("tell what is made where that is more than what is carried", () => {
    const motor = `
      supply single 120 V 60 Hz
      switch SW 1 to 2 closed in on, open in off rated 15 A 125 V
      motor DM 120 V { winding main 1 to 2 runs 5 A locked rotor 30 A }
      wire L to SW to DM.1
      wire DM.2 to N
    `;
    expect(linesOf(motor)[0]).toMatch(/^SW: carries 5 A, makes 30 A.*: \d+ % of its rating$/);
  });

  it("say of which part they speak where a type is written", () => {
    const typed = `
      supply single 120 V 60 Hz
      type Q switch {
        positions on off
        contact 1 to 2 in on rated 15 A 125 V
        contact 1 to 3 in off rated 15 A 125 V
      }
      switch SA of type Q
      switch SB of type Q
      lamp LA 60 W 120 V
      wire L to SA.1
      wire SA.2 to SB.1
      wire SB.2 to LA to N
    `;
    expect(linesOf(typed).filter((line) => line.includes("1-2"))).toEqual([
      expect.stringMatching(/: SA\.1-2 carries 500 mA/),
      expect.stringMatching(/: SB\.1-2 carries 500 mA/),
    ]);
  });

  it("stand where they stand while the states are worked out, and say nothing of a thing that is gone", () => {
    expect(linesOf(machine, false)[0]).toBe("SW: undefined");
    const { view } = viewOf(machine, [], true);
    expect(lensText(view, { machine: 0, kind: "load", name: "GONE" })).toBeUndefined();
    expect(lensText(view, { machine: 7, kind: "load", name: "HT" })).toBeUndefined();
  });
});
