/**
 * Machines small enough to solve on paper, for both engines. The tables were written by hand from the circuit, before the walk was run; volts and
 * amps are Ohm's law. They use no source outside but the meaning of the parts (common practice of the trade).
 */
import { describe, expect, test } from "vitest";
import { MachineWriter, SCALES } from "../support/machine-writer.ts";
import { bothEnginesOf, state, statesOf, table } from "./run.ts";

test("a relay that opens its own coil chatters", () => {
  const out = new MachineWriter();
  const sw = out.input("SW", ["off", "on"]);
  const relay = out.settled("K", ["out", "in"]);
  const [a, b] = [out.joint(), out.joint()];
  out.contact(out.L1, a, out.in(sw, 1));
  out.contact(a, b, out.in(relay, 0));
  const coil = out.load("K", "coil", b, out.N, { re: 500, im: 800 }, { ratedVolts: 120, scale: SCALES.coil });
  out.follows(relay, { rule: "coil", load: coil });
  const engine = bothEnginesOf(out.machine());
  expect(statesOf(engine)).toEqual(table("on off out\n off off out\n off on out"));
  expect(engine.chatters()).toHaveLength(1);
  const chatter = engine.chatters()[0]!;
  expect(chatter.controls).toEqual([relay]);
  expect([chatter.state[out.supply], chatter.state[sw]]).toEqual([0, 1]);
});

test("two relays that lock each other out: either may win, and the winner keeps", () => {
  const out = new MachineWriter();
  const sw = out.input("SW", ["off", "on"]);
  const [k1, k2] = [out.settled("K1", ["out", "in"]), out.settled("K2", ["out", "in"])];
  const fed = out.joint();
  out.contact(out.L1, fed, out.in(sw, 1));
  for (const [relay, other] of [
    [k1, k2],
    [k2, k1],
  ] as const) {
    const near = out.joint();
    out.contact(fed, near, out.in(other, 0));
    const coil = out.load("coil", "coil", near, out.N, { re: 500, im: 800 }, { ratedVolts: 120, scale: SCALES.coil });
    out.follows(relay, { rule: "coil", load: coil });
  }
  const engine = bothEnginesOf(out.machine());
  expect(statesOf(engine)).toEqual(
    table(`
      on off out out
      on on in out
      on on out in
      off off out out
      off on out out
    `),
  );
  expect(engine.chatters()).toEqual([]);
});

test("a relay pulls in at full volts only, holds on at half, and drops out dead", () => {
  // 100 ohm coil; HALF puts 100 ohm in series: 60 V of 120 V, above drop-out (0.2) and below pull-in (0.85).
  const out = new MachineWriter();
  const sw = out.input("SW", ["off", "half", "full"]);
  const relay = out.settled("K", ["out", "in"]);
  const [a, fed] = [out.joint(), out.joint()];
  out.contact(out.L1, a, out.in(sw, 1));
  out.load("R", "resistor", a, fed, { re: 100, im: 0 });
  out.contact(out.L1, fed, out.in(sw, 2));
  const coil = out.load("K", "coil", fed, out.N, { re: 100, im: 0 }, { ratedVolts: 120, scale: SCALES.coil });
  out.follows(relay, { rule: "coil", load: coil });
  const engine = bothEnginesOf(out.machine());
  expect(statesOf(engine)).toEqual(
    table(`
      on off out
      on half out
      on half in
      on full in
      off off out
      off half out
      off full out
    `),
  );
  expect(engine.extreme({ of: "load-volts", load: coil }, engine.when(coil, ["weak"])).largest?.value).toBeCloseTo(
    60,
    9,
  );
});

describe("a timer motor fed through the heater", () => {
  // CT shorts the drive out while it is closed: the drive runs, and the timer advances, only while CT is open.
  const out = new MachineWriter();
  const timer = out.input("TM", ["off", "auto 1", "auto 2", "cool"], { role: "timer" });
  const thermostat = out.input("CT", ["closed", "open"], { role: "thermal" });
  const [hot, below] = [out.joint(), out.joint()];
  const feed = out.contact(out.L1, hot, out.in(timer, 1, 2), "TM");
  const bypass = out.contact(hot, below, out.in(thermostat, 0), "CT");
  const drive = out.load(
    "drive",
    "drive",
    hot,
    below,
    { re: 2400, im: 4100 },
    { ratedVolts: 120, scale: SCALES.drive },
  );
  const heater = out.load("HT", "heater", below, out.N, { re: 12, im: 0 }, { ratedVolts: 120 });
  const machine = out.machine();
  const rules = {
    hand: { from: out.mask(timer, [0]), to: out.mask(timer, [1]), words: "turn TM to {position}", byHand: true },
    advance: {
      from: out.mask(timer, [1, 2]),
      to: out.mask(timer, [2, 3]),
      by: 1 as const,
      needs: [[{ load: drive, atLeast: "works" as const }]],
      words: "TM advances to {position}",
    },
  };
  const changes = new Map([
    [timer, [rules.hand, rules.advance]],
    [
      thermostat,
      [
        {
          from: out.mask(thermostat, [0]),
          to: out.mask(thermostat, [1]),
          needs: [[{ load: heater, atLeast: "works" as const }]],
          words: "CT opens by heat",
        },
        { from: out.mask(thermostat, [1]), to: out.mask(thermostat, [0]), words: "CT closes" },
      ],
    ],
    [out.supply, []],
  ]);
  const engine = bothEnginesOf({
    ...machine,
    controls: machine.controls.map((control) => ({ ...control, changes: changes.get(control.id) })),
  });

  test("waits while the thermostat is closed", () => {
    expect(statesOf(engine)).toEqual(
      table(`
        on off    closed
        on auto 1 closed
        on auto 1 open
        on auto 2 open
        on auto 2 closed
        on cool   open
        on cool   closed
      `),
    );
    expect(statesOf(engine, engine.when(drive, ["works"]))).toEqual(["on auto 1 open", "on auto 2 open"]);
    expect(engine.pathTo(state(machine, "on cool closed"))?.map(({ words }) => words)).toEqual([
      "turn TM to auto 1",
      "CT opens by heat",
      "TM advances to auto 2",
      "TM advances to cool",
      "CT closes",
    ]);
  });

  test("the heater takes 10 A with the thermostat closed and a few milliamps with it open", () => {
    expect(
      engine.extreme({ of: "load-amps", load: heater }, engine.when(heater, ["works"])).smallest?.value,
    ).toBeCloseTo(10, 9);
    const trickle = engine.extreme({ of: "load-amps", load: heater }, engine.when(drive, ["works"])).largest!;
    expect(trickle.value).toBeCloseTo(120 / Math.hypot(2412, 4100), 12);
    expect(statesOf(engine, engine.inSeries(feed, heater))).toEqual(["on auto 1 closed", "on auto 2 closed"]);
    // With CT opened the heater drops to the drive's milliamps: off, so CT is in series with it although the drive is not dead.
    expect(statesOf(engine, engine.inSeries(bypass, heater))).toEqual(["on auto 1 closed", "on auto 2 closed"]);
  });
});

test("a gas valve opens with both coils and stays open on the holding coil alone", () => {
  const out = new MachineWriter();
  const burner = out.input("CALL", ["off", "on"]);
  const sensor = out.input("RS", ["cold", "hot"]);
  const gas = out.settled("GV", ["shut", "open"], "valve");
  const [fed, boosted] = [out.joint(), out.joint()];
  out.contact(out.L1, fed, out.in(burner, 1));
  out.contact(fed, boosted, out.in(sensor, 0));
  const coil = (name: string, end: number) =>
    out.load(name, "valve", end, out.N, { re: 1300, im: 900 }, { ratedVolts: 120, scale: SCALES.coil });
  const [hold, boost] = [coil("hold", fed), coil("boost", boosted)];
  out.follows(gas, {
    rule: "seat",
    opens: [
      { load: hold, atLeast: "works" },
      { load: boost, atLeast: "works" },
    ],
    stays: [{ load: hold, atLeast: "weak" }],
  });
  const engine = bothEnginesOf(out.machine());
  expect(statesOf(engine)).toEqual(
    table(`
      on off cold shut
      on off hot  shut
      on on  cold open
      on on  hot  open
      on on  hot  shut
      off off cold shut
      off off hot  shut
      off on  cold shut
      off on  hot  shut
    `),
  );
});

test("a level switch with its own reset level remembers", () => {
  const out = new MachineWriter();
  const water = out.input("WATER", ["empty", "mid", "full"]);
  const trip = out.settled("WL", ["reset", "tripped"], "trip");
  out.follows(trip, { rule: "latch", sets: [[out.in(water, 2)]], clears: [[out.in(water, 0)]] });
  const machine = out.machine();
  const engine = bothEnginesOf({
    ...machine,
    controls: machine.controls.map((control) => (control.id === out.supply ? { ...control, changes: [] } : control)),
  });
  expect(statesOf(engine)).toEqual(
    table(`
      on empty reset
      on mid reset
      on mid tripped
      on full tripped
    `),
  );
});

test("a current relay keeps what it was between drop-out and pull-in", () => {
  // 12, 24 and 60 ohm across 120 V: 10 A pulls in (from 8), 5 A keeps, 2 A drops out (below 4).
  const out = new MachineWriter();
  const sw = out.input("SW", ["off", "2 A", "5 A", "10 A"]);
  const relay = out.settled("K", ["out", "in"]);
  const near = out.joint();
  const coil = out.load("K", "coil", out.L1, near, { re: 1e-6, im: 0 });
  [60, 24, 12].forEach((ohms, index) => {
    const far = out.joint();
    out.contact(near, far, out.in(sw, index + 1));
    out.load(`H${index}`, "heater", far, out.N, { re: ohms, im: 0 }, { ratedVolts: 120 });
  });
  out.follows(relay, { rule: "current", load: coil, pullsIn: 8, dropsOut: 4 });
  const machine = out.machine();
  const engine = bothEnginesOf({
    ...machine,
    controls: machine.controls.map((control) => (control.id === out.supply ? { ...control, changes: [] } : control)),
  });
  expect(statesOf(engine)).toEqual(
    table(`
    on off out
    on 2 A out
    on 5 A out
    on 5 A in
    on 10 A in
  `),
  );
});

test("only what was off before draws its first current: a second contact beside a closed one makes half the steady amps", () => {
  const out = new MachineWriter();
  const [one, two] = [out.input("S1", ["off", "on"]), out.input("S2", ["off", "on"])];
  const fed = out.joint();
  const first = out.contact(out.L1, fed, out.in(one, 1));
  out.contact(out.L1, fed, out.in(two, 1));
  // 1 A warm, 10 A in the first moment (a cold lamp takes ten to fifteen times its current: common practice, no published source).
  out.load("lamp", "lamp", fed, out.N, { re: 120, im: 0 }, { ratedVolts: 120, inrush: { re: 12, im: 0 } });
  const engine = bothEnginesOf(out.machine());
  const lit = engine.where([[out.in(two, 1)]]);
  expect(engine.extreme({ of: "makes", contact: first }, engine.all()).largest?.value).toBeCloseTo(10, 9);
  expect(engine.extreme({ of: "makes", contact: first }, lit).largest?.value).toBeCloseTo(0.5, 9);
});

test("legs tied together: every load counts as off, and the state says why", () => {
  const out = new MachineWriter();
  const sw = out.input("SW", ["off", "on"]);
  const fault = out.input("FAULT", ["no", "yes"]);
  const fed = out.joint();
  const contact = out.contact(out.L1, fed, out.in(sw, 1));
  const heater = out.load("HT", "heater", fed, out.N, { re: 12, im: 0 }, { ratedVolts: 120 });
  out.contact(fed, out.N, out.in(fault, 1));
  const engine = bothEnginesOf(out.machine());
  expect(statesOf(engine, engine.shorted())).toEqual(["on on yes"]);
  expect(statesOf(engine, engine.when(heater, ["works"]))).toEqual(["on on no"]);
  expect(statesOf(engine, engine.tied(fed, 0))).toEqual(["on on no", "on on yes"]);
  // The 10 A of the state without the fault; the short itself is no number.
  expect(engine.extreme({ of: "makes", contact }, engine.all()).largest?.value).toBeCloseTo(10, 9);
});
