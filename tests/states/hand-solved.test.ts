/**
 * Machines small enough to solve on paper. The tables were written by hand from the circuit, before the walk was run; volts and
 * amps are Ohm's law. They use no source outside but the meaning of the parts (common practice of the trade).
 */
import { describe, expect, test } from "vitest";
import type { Machine, MachineState } from "../../server/machine/machine.ts";
import { drawing, MachineWriter, SCALES } from "../support/machine-writer.ts";
import { engineOf, named, nominalStates, statesOf, table } from "./run.ts";

const LOCKED = drawing(120, 22, 0.62);
const TURNING = drawing(120, 5.2, 0.62);
const START = drawing(120, 9, 0.9);

/** A motor of one winding and no start winding, from `a` to `b`. */
function fanMotor(out: MachineWriter, a: number, b: number) {
  const motor = out.settled("DM", ["stopped", "hums", "running"], "motor");
  const main = out.load("main", "winding", a, b, [LOCKED, LOCKED, TURNING], {
    ratedVolts: 120,
    control: motor,
    inrush: LOCKED,
    scale: SCALES.motor,
  });
  out.follows(motor, { rule: "motor", mains: [main], starts: [], leastTorque: 0 });
  return { motor, main };
}

function state(machine: Machine, names: string): MachineState {
  for (const one of nominalStates(machine)) if (named(machine, one) === names) return one;
  throw new Error(`no state ${names}`);
}

describe("a motor that holds itself in", () => {
  const out = new MachineWriter();
  const door = out.input("DOOR", ["shut", "open"]);
  const button = out.input("START", ["out", "pressed"]);
  const fed = out.joint();
  const back = out.joint();
  const { motor, main } = fanMotor(out, fed, back);
  const start = out.contact(out.L1, fed, out.in(button, 1), "START");
  const hold = out.contact(out.L1, fed, out.in(motor, 2), "hold");
  const shut = out.contact(back, out.N, out.in(door, 0), "DOOR");
  const machine = out.machine();
  const engine = engineOf(machine);

  test("remembers that it was started", () => {
    expect(statesOf(engine)).toEqual(
      table(`
        on  shut out     stopped
        on  shut out     running
        on  shut pressed running
        on  open out     stopped
        on  open pressed stopped
        off shut out     stopped
        off shut pressed stopped
        off open out     stopped
        off open pressed stopped
      `),
    );
    expect(engine.covered()).toEqual({ complete: true, missing: [], nominal: 24, reachable: 9 });
  });

  test("is reached by pressing and letting go", () => {
    const path = engine.pathTo(state(machine, "on shut out running"));
    expect(path?.map(({ words }) => words)).toEqual(["set START to pressed", "set START to out"]);
    expect(engine.pathTo(state(machine, "on open out running"))).toBeUndefined();
  });

  test("draws 22 A when the button closes and 5.2 A shared by two contacts while it is held", () => {
    expect(engine.extreme({ of: "makes", contact: start }, engine.all()).largest?.value).toBeCloseTo(22, 9);
    // Pressed and running, button and holding contact carry half each; let go, nothing opens between them.
    expect(engine.extreme({ of: "carries", contact: start }, engine.all()).largest?.value).toBeCloseTo(2.6, 9);
    expect(engine.extreme({ of: "breaks", contact: start }, engine.all()).largest?.value).toBeCloseTo(2.6, 9);
    // With the door open the button opens between L1 and a floating winding, which counts as 0 V: 120 V, but no current.
    expect(engine.extreme({ of: "breaks-volts", contact: start }, engine.all()).largest?.value).toBeCloseTo(120, 9);
    expect(engine.extreme({ of: "carries", contact: hold }, engine.all()).largest?.value).toBeCloseTo(5.2, 9);
    // The door breaks the running motor, at full volts: one side N, the other L1 through the winding.
    expect(engine.extreme({ of: "breaks", contact: shut }, engine.all()).largest?.value).toBeCloseTo(5.2, 9);
    expect(engine.extreme({ of: "breaks-volts", contact: shut }, engine.all()).largest?.value).toBeCloseTo(120, 9);
  });

  test("the start button held and the door closed: the door makes the start", () => {
    const makes = engine.extreme({ of: "makes", contact: shut }, engine.all()).largest!;
    expect(makes.value).toBeCloseTo(22, 9);
    expect([named(machine, makes.before!), named(machine, makes.state)]).toEqual([
      "on open pressed stopped",
      "on shut pressed stopped",
    ]);
  });

  test("the door is always in series, each of two parallel contacts never", () => {
    const runs = engine.when(main, ["works"]);
    expect(statesOf(engine, runs)).toEqual(["on shut out running", "on shut pressed running"]);
    expect(statesOf(engine, engine.inSeries(shut, main))).toEqual(statesOf(engine, runs));
    expect(statesOf(engine, engine.inSeries(hold, main))).toEqual(["on shut out running"]);
    expect(statesOf(engine, engine.inSeries(start, main))).toEqual([]);
  });

  test("is stated plainly", () => {
    // The motor says it all: unreachable states (it never hums here) are don't-cares, and every position that may be named is.
    expect(engine.statement(engine.when(main, ["works"]))).toEqual([[out.in(motor, 1, 2)]]);
    expect(engine.statement(engine.all())).toEqual([[]]);
    expect(engine.statement(engine.none())).toEqual([]);
  });
});

test("a relay that opens its own coil chatters", () => {
  const out = new MachineWriter();
  const sw = out.input("SW", ["off", "on"]);
  const relay = out.settled("K", ["out", "in"]);
  const [a, b] = [out.joint(), out.joint()];
  out.contact(out.L1, a, out.in(sw, 1));
  out.contact(a, b, out.in(relay, 0));
  const coil = out.load("K", "coil", b, out.N, { re: 500, im: 800 }, { ratedVolts: 120, scale: SCALES.coil });
  out.follows(relay, { rule: "coil", load: coil });
  const engine = engineOf(out.machine());
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
  const engine = engineOf(out.machine());
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
  const engine = engineOf(out.machine());
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

describe("a split-phase motor", () => {
  /** Main winding behind POWER, start winding behind SP too; low puts 6 ohm in the line. */
  function splitPhase(startContact: "switch" | "speed-switch") {
    const out = new MachineWriter();
    const power = out.input("POWER", ["off", "low", "full"]);
    const path = out.input("SP", ["cut", "made"]);
    const motor = out.settled("DM", ["stopped", "hums", "running"], "motor");
    const [low, fed, near] = [out.joint(), out.joint(), out.joint()];
    out.contact(out.L1, low, out.in(power, 1));
    out.load("R", "resistor", low, fed, { re: 6, im: 0 });
    out.contact(out.L1, fed, out.in(power, 2));
    const main = out.load("main", "winding", fed, out.N, [LOCKED, LOCKED, TURNING], {
      ratedVolts: 120,
      control: motor,
      inrush: LOCKED,
      scale: SCALES.motor,
    });
    const made = out.in(path, 1);
    out.contact(fed, near, startContact === "switch" ? made : [[made, out.in(motor, 0, 1)]], "SP");
    const start = out.load("start", "start-winding", near, out.N, START, { ratedVolts: 120, scale: SCALES.motor });
    out.follows(motor, { rule: "motor", mains: [main], starts: [start], leastTorque: 0.1 });
    return { out, main, start, engine: engineOf(out.machine()) };
  }

  test("hums with a dead start path or low volts, starts with both, and keeps running when the start path opens", () => {
    // Through 6 ohm, standing still: |Zlocked| = 5.45 with 3.38 real; alone it gets 120 x 5.45 / |9.38 + 4.28j| = 63.4 V = 0.53,
    // below 0.6, with the start winding beside it still less: hums. Running: |23.08|, 14.31 real:
    // 120 x 23.08 / |20.31 + 18.11j| = 101.8 V = 0.85: works, so that a motor started on full keeps running on low. With the
    // start winding left on, 12 + 5.81j beside it: together |7.07 + 4.99j| = 8.65, 120 x 8.65 / |13.07 + 4.99j| = 74.2 V = 0.62: still works.
    const { engine } = splitPhase("switch");
    expect(statesOf(engine)).toEqual(
      table(`
        on off  cut  stopped
        on off  made stopped
        on low  cut  hums
        on low  cut  running
        on low  made hums
        on low  made running
        on full cut  hums
        on full cut  running
        on full made running
        off off  cut  stopped
        off off  made stopped
        off low  cut  stopped
        off low  made stopped
        off full cut  stopped
        off full made stopped
      `),
    );
  });

  test("with a speed switch the start winding is dead as soon as it runs", () => {
    const { engine, start, main } = splitPhase("speed-switch");
    expect(statesOf(engine, engine.when(start, ["weak", "works"]))).toEqual(["on low made hums"]);
    expect(statesOf(engine, engine.when(main, ["works"]))).toEqual(
      table(`
        on full cut  hums
        on full cut  running
        on full made running
        on low  cut  running
        on low  made running
      `),
    );
  });
});

test("direction is fixed at the start and kept until the motor stops", () => {
  // The start winding is put across the line one way round or the other by DIR; running, its speed switch is open.
  const out = new MachineWriter();
  const power = out.input("POWER", ["off", "on"]);
  const direction = out.input("DIR", ["a", "b"]);
  const motor = out.settled("DM", ["stopped", "hums", "left", "right"], "motor");
  const [fed, near, s1, s2] = [out.joint(), out.joint(), out.joint(), out.joint()];
  out.contact(out.L1, fed, out.in(power, 1));
  const main = out.load("main", "winding", fed, out.N, [LOCKED, LOCKED, TURNING, TURNING], {
    ratedVolts: 120,
    control: motor,
    inrush: LOCKED,
    scale: SCALES.motor,
  });
  out.contact(fed, near, out.in(motor, 0, 1));
  out.contact(near, s1, out.in(direction, 0));
  out.contact(s2, out.N, out.in(direction, 0));
  out.contact(near, s2, out.in(direction, 1));
  out.contact(s1, out.N, out.in(direction, 1));
  const start = out.load("start", "start-winding", s1, s2, START, { ratedVolts: 120, scale: SCALES.motor });
  // The main current lags more (pf 0.62 against 0.9): Im(Ia conj(Im)) is positive with DIR a.
  out.follows(motor, { rule: "motor", mains: [main], starts: [start], leastTorque: 0.1, leftSign: 1 });
  const machine = out.machine();
  const engine = engineOf(machine);
  expect(statesOf(engine)).toEqual(
    table(`
      on off a stopped
      on off b stopped
      on on a left
      on on a right
      on on b left
      on on b right
      off off a stopped
      off off b stopped
      off on a stopped
      off on b stopped
    `),
  );
  // Turning left with DIR in b needs a start in a first.
  expect(engine.pathTo(state(machine, "on on b left"))?.map(({ words }) => words)).toEqual([
    "set POWER to on",
    "set DIR to b",
  ]);
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
  const engine = engineOf({
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

test("a two-speed motor keeps running when the speed is changed at once, and stops at a dead position between", () => {
  // One start winding for both speeds, behind the speed switch; `gap` stands for a selector that breaks between its throws.
  const out = new MachineWriter();
  const speed = out.input("SPEED", ["off", "high", "gap", "low"]);
  const path = out.input("SP", ["made", "cut"]);
  const motor = out.settled("DM", ["stopped", "hums", "running"], "motor");
  const [high, low, near] = [out.joint(), out.joint(), out.joint()];
  out.contact(out.L1, high, out.in(speed, 1));
  out.contact(out.L1, low, out.in(speed, 3));
  const winding = (name: string, end: number, locked: number, turning: number) => {
    const standing = drawing(120, locked, 0.6);
    const impedance = [standing, standing, drawing(120, turning, 0.6)];
    return out.load(name, "winding", end, out.N, impedance, { ratedVolts: 120, control: motor, scale: SCALES.motor });
  };
  const mains = [winding("high", high, 26, 7), winding("low", low, 18, 5.6)];
  out.contact(out.L1, near, [[out.in(speed, 1, 3), out.in(path, 0), out.in(motor, 0, 1)]]);
  const start = out.load("start", "start-winding", near, out.N, START, { ratedVolts: 120, scale: SCALES.motor });
  out.follows(motor, { rule: "motor", mains, starts: [start], leastTorque: 0.1 });
  const machine = out.machine();
  const free = machine.controls.map((control) =>
    control.id === speed
      ? {
          ...control,
          changes: [
            { from: out.mask(speed, [0, 1, 2]), to: out.mask(speed, [1, 2, 3]), by: 1 as const, words: "turn on" },
            { from: out.mask(speed, [1, 2, 3]), to: out.mask(speed, [0, 1, 2]), by: -1 as const, words: "turn back" },
          ],
        }
      : control.id === out.supply
        ? { ...control, changes: [] }
        : control,
  );
  expect(statesOf(engineOf({ ...machine, controls: free }))).toEqual(
    table(`
      on off  made stopped
      on off  cut  stopped
      on high made running
      on high cut  running
      on high cut  hums
      on gap  made stopped
      on gap  cut  stopped
      on low  made running
      on low  cut  running
      on low  cut  hums
    `),
  );
  // From any speed to any other in one move: it never loses its field, so that high to low with the start path cut runs on.
  const direct = engineOf({
    ...machine,
    controls: machine.controls.map((control) => (control.id === out.supply ? { ...control, changes: [] } : control)),
  });
  expect(direct.pathTo(state(machine, "on low cut running"))?.map(({ words }) => words)).toHaveLength(2);
  expect(direct.extreme({ of: "load-amps", load: mains[0]! }, direct.all()).largest?.value).toBeCloseTo(26, 9);
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
  const engine = engineOf(out.machine());
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
  const engine = engineOf({
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

test("a current relay starts a motor: pulls in on the locked-rotor current, drops out at speed", () => {
  // Coil in the main winding's line, contact in the start winding's: 22 A pulls in (at 15 A), 5.2 A drops out (below 8 A).
  const out = new MachineWriter();
  const sw = out.input("SW", ["off", "on"]);
  const relay = out.settled("SR", ["out", "in"]);
  const motor = out.settled("DM", ["stopped", "hums", "running"], "motor");
  const [fed, mid, near] = [out.joint(), out.joint(), out.joint()];
  out.contact(out.L1, fed, out.in(sw, 1));
  const coil = out.load("SR", "coil", fed, mid, { re: 0.01, im: 0.01 });
  const main = out.load("main", "winding", mid, out.N, [LOCKED, LOCKED, TURNING], {
    ratedVolts: 120,
    control: motor,
    scale: SCALES.motor,
  });
  out.contact(fed, near, out.in(relay, 1));
  const start = out.load("start", "start-winding", near, out.N, START, { ratedVolts: 120, scale: SCALES.motor });
  out.follows(relay, { rule: "current", load: coil, pullsIn: 15, dropsOut: 8 });
  out.follows(motor, { rule: "motor", mains: [main], starts: [start], leastTorque: 0.1 });
  const engine = engineOf(out.machine());
  expect(statesOf(engine)).toEqual(
    table(`
      on off out stopped
      on on out running
      off off out stopped
      off on out stopped
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
  const engine = engineOf({
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
  const engine = engineOf(out.machine());
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
  const engine = engineOf(out.machine());
  expect(statesOf(engine, engine.shorted())).toEqual(["on on yes"]);
  expect(statesOf(engine, engine.when(heater, ["works"]))).toEqual(["on on no"]);
  expect(statesOf(engine, engine.tied(fed, 0))).toEqual(["on on no", "on on yes"]);
  // The 10 A of the state without the fault; the short itself is no number.
  expect(engine.extreme({ of: "makes", contact }, engine.all()).largest?.value).toBeCloseTo(10, 9);
});
