/** Fed by, and feeds: one step along the circuit. */
import { describe, expect, it } from "vitest";
import { fedByAndFeeds, feedItemsAt } from "../../server/editor/feeds.ts";
import { viewOf } from "./support.ts";

function stepsFrom(source: string) {
  const { view, caret } = viewOf(source, [], true);
  return feedItemsAt(view, caret).map((item) => {
    const { fedBy, feeds } = fedByAndFeeds(view, item);
    const names = (items: readonly { name: string }[]) => items.map(({ name }) => name).sort();
    return { name: item.name, detail: item.detail, fedBy: names(fedBy), feeds: names(feeds) };
  });
}

/** A heater between two live legs with a thermostat that a second switch bridges, and a lamp to the neutral. */
const dryer = (before: string, after: string) =>
  `
supply 120/240 V 60 Hz
switch SW "start" 1 to 2 closed in on, open in off rated 30 A 240 V
switch BY 1 to 2 closed in on, open in off rated 30 A 240 V
thermostat CT opens 68 C closes 57 C rated 25 A 240 V
switch CEN 1 to 2 closed in running, open in stopped rated 30 A 240 V
switch DOOR 1 to 2 closed in open, open in shut rated 3 A 125 V
heater HT "coil" 4800 W 240 V
lamp LA 10 W 120 V
wire L1 to SW to CT to HT.1
wire SW.2 to BY to HT.1
wire HT.2 to CEN to L2
wire L1 to DOOR to LA to N
`.replace(before + after, `${before}▮${after}`);

describe("fed by and feeds", () => {
  it("a load on two live legs is fed from both sides, by every way", () => {
    expect(stepsFrom(dryer("to ", "HT.1"))).toEqual([
      { name: "HT", detail: "coil", fedBy: ["BY", "CEN", "CT"], feeds: [] },
    ]);
  });
  it("a contact is fed by what stands before it and feeds what stands behind it", () => {
    expect(stepsFrom(dryer("switch ", "SW"))).toEqual([
      { name: "SW", detail: "start", fedBy: ["L1"], feeds: ["BY", "CT"] },
    ]);
    expect(stepsFrom(dryer("switch ", "CEN"))).toMatchObject([{ fedBy: ["L2"], feeds: ["HT"] }]);
  });
  it("past the load the current goes on to the neutral", () => {
    expect(stepsFrom(dryer("lamp ", "LA"))).toMatchObject([{ fedBy: ["DOOR"], feeds: ["N"] }]);
    expect(stepsFrom(dryer("wire ", "L1"))).toEqual([
      { name: "L1", detail: "live leg of the supply", fedBy: [], feeds: ["DOOR", "SW"] },
    ]);
    expect(stepsFrom(dryer("LA to ", "N"))).toMatchObject([{ name: "N", fedBy: ["LA"], feeds: [] }]);
  });
  it("the back way through another load is a way when it feeds", () => {
    // With SW open the lamp still gets its volts: from L2 through the heater.
    const back = dryer("lamp ", "LA").replace("wire L1 to DOOR", "wire HT.1");
    expect(stepsFrom(back)).toMatchObject([{ fedBy: ["BY", "CT", "HT"], feeds: ["N"] }]);
  });
  it("a part of several contacts is all of them; nothing for other words", () => {
    const timer = `
      supply single 120 V 60 Hz
      switch S { positions a b
        contact 1 to 2 in a rated 15 A 125 V
        contact 1 to 3 in b rated 15 A 125 V
      }
      lamp LA 10 W 120 V
      lamp LB 10 W 120 V
      wire L to ▮S.1
      wire S.2 to LA to N
      wire S.3 to LB to N
    `;
    expect(stepsFrom(timer)).toMatchObject([
      { name: "S.1-2", fedBy: ["L"], feeds: ["LA"] },
      { name: "S.1-3", fedBy: ["L"], feeds: ["LB"] },
    ]);
    expect(stepsFrom(dryer("4800", " W"))).toEqual([]);
  });
});
