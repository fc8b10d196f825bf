/**
 * Motors in circuits small enough to solve on paper, for both engines. The tables were written by hand from the circuit, before the walk was run; volts and
 * amps are Ohm's law. They use no source outside but the meaning of the parts (common practice of the trade).
 */
import { describe, expect, test } from "vitest";
import { drawing, MachineWriter, SCALES } from "../support/machine-writer.ts";
import { bothEnginesOf, named, state, statesOf, table } from "./run.ts";

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
  const engine = bothEnginesOf(machine);

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
    return { out, main, start, engine: bothEnginesOf(out.machine()) };
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
  const engine = bothEnginesOf(machine);
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
  expect(statesOf(bothEnginesOf({ ...machine, controls: free }))).toEqual(
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
  const direct = bothEnginesOf({
    ...machine,
    controls: machine.controls.map((control) => (control.id === out.supply ? { ...control, changes: [] } : control)),
  });
  expect(direct.pathTo(state(machine, "on low cut running"))?.map(({ words }) => words)).toHaveLength(2);
  expect(direct.extreme({ of: "load-amps", load: mains[0]! }, direct.all()).largest?.value).toBeCloseTo(26, 9);
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
  const engine = bothEnginesOf(out.machine());
  expect(statesOf(engine)).toEqual(
    table(`
      on off out stopped
      on on out running
      off off out stopped
      off on out stopped
    `),
  );
});
