/** The chosen state: where it starts, what moving one thing makes of it, and why something is refused. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { StateWish } from "../../server/base/chosen-state.ts";
import { defaultState, grant, namedState, stateOfNames } from "../../server/editor/chosen-state.ts";
import { hints } from "../../server/editor/hints.ts";
import { hover } from "../../server/editor/hover.ts";
import { stateReadout } from "../../server/editor/state-readout.ts";
import type { MachineView } from "../../server/editor/view.ts";
import { describeState } from "../../server/machine/index.ts";
import { ChosenStates } from "../../server/workspace/chosen-states.ts";
import { viewOf } from "./support.ts";

const dryer = readFileSync(join(import.meta.dirname, "../../samples/electric-dryer.camleaf"), "utf8");
const washer = readFileSync(join(import.meta.dirname, "../../samples/top-loading-washer.camleaf"), "utf8");

function at(source: string) {
  const { view } = viewOf(source, [], true);
  const engine = view.machines[0]!.engine!;
  let state = defaultState(engine);
  const words = () => describeState(engine.circuit.machine, state);
  const wish = (one: StateWish): string => {
    const granted = grant(engine, state, one);
    if ("refused" in granted) return `no: ${granted.refused}`;
    state = granted.state;
    return words();
  };
  return { engine, view, words, wish, readout: () => stateReadout(engine, state), state: () => state };
}

describe("the chosen state of the dryer", () => {
  const { wish, words, readout } = at(dryer);

  it("starts with the step that takes most, the motor started", () => {
    expect(words()).toBe("TM in timed 1, DM running");
    const coil = readout().loads.find(({ name }) => name === "HT")!;
    // 5400 W at 240 V (watts / volts).
    expect(coil).toMatchObject({ class: "works", verb: "heats" });
    expect(coil.amps).toBeCloseTo(5400 / 240, 3);
    expect(readout().path).toEqual(["press START", "turn TM to timed 1", "let go of START"]);
  });

  it("settles after each move as the machine would", () => {
    expect(wish({ wish: "move", control: "DOOR", position: "open" })).toBe("TM in timed 1, DOOR open");
    expect(readout().loads.find(({ name }) => name === "DL")?.class).toBe("works");
    // The motor stays where it was when the door shuts: START has to be pressed.
    expect(wish({ wish: "move", control: "DOOR", position: "shut" })).toBe("TM in timed 1");
    expect(wish({ wish: "press", control: "START" })).toBe("TM in timed 1, DM running");
  });

  it("lets heat open a thermostat, and steps the program", () => {
    expect(wish({ wish: "move", control: "CT", position: "open" })).toBe("TM in timed 1, CT open, DM running");
    expect(wish({ wish: "move", control: "CT", position: "closed" })).toBe("TM in timed 1, DM running");
    expect(wish({ wish: "step", by: 1 })).toBe("TM in timed 2, DM running");
    expect(wish({ wish: "step", by: -1 })).toBe("TM in timed 1, DM running");
    expect(wish({ wish: "rest" })).toBe("everything at rest");
  });

  it("says why something cannot be", () => {
    expect(wish({ wish: "move", control: "DM", position: "running" })).toBe(
      "no: DM follows from the circuit; move what feeds it instead.",
    );
    expect(wish({ wish: "move", control: "DOOR", position: "ajar" })).toBe("no: DOOR has no position ajar.");
    expect(wish({ wish: "move", control: "LID", position: "open" })).toBe("no: There is no LID in this machine.");
  });
});

describe("numbers of the chosen state", () => {
  it("stand in hints and hover once there is one", () => {
    const { view } = viewOf(dryer, [], true);
    const states = new ChosenStates();
    states.read({ ...view, version: 1 }, 0, { wish: "default" });
    const stateOf = (machine: MachineView) => states.stateOf(view.file, machine);
    const hint = (name: string) =>
      hints(view, 0, view.text.length, stateOf).find(({ offset }) => view.text.slice(0, offset).endsWith(name))?.text;
    expect(hint("heater HT")).toBe("240 V, 22.5 A, 5.4 kW");
    expect(hint("limit HL")).toBe("22.5 A, 90 % of its rating");
    expect(hint("lamp DL")).toBeUndefined();
    const page = hover(view, view.text.indexOf("HT to DM"), stateOf)?.markdown;
    expect(page).toMatch(/\| now \| 240 V, 22\.5 A, 5\.4 kW with TM in timed 1, DM running \|/);
    expect(hover(view, view.text.indexOf("DL to DOOR"), stateOf)?.markdown).toMatch(/\| now \| off with /);
  });
});

describe("a page that is read again", () => {
  it("is the same as long as the state shown is, and another one when that moves", () => {
    const { view } = viewOf(dryer, [], true);
    const engine = view.machines[0]!.engine!;
    let state = defaultState(engine);
    const page = () => hover(view, view.text.indexOf("HT to DM"), () => state)!.markdown;
    const first = page();
    expect(page()).toBe(first);
    const moved = grant(engine, state, { wish: "move", control: "DOOR", position: "open" });
    if ("refused" in moved) throw new Error(moved.refused);
    state = moved.state;
    expect(page()).toMatch(/\| now \| off with /);
    state = defaultState(engine);
    expect(page()).toBe(first);
    // In place, as nobody should: the page goes by what the state is, not by which object it is.
    state.set(moved.state);
    expect(page()).toMatch(/\| now \| off with /);
  });
});

describe("names of a chosen state", () => {
  it("outlive an edit of the text, and are given up when a name is gone", () => {
    const before = at(dryer);
    const names = namedState(before.engine.circuit.machine, before.state());
    const edited = at(dryer.replace("5400 W", "5200 W"));
    expect(describeState(edited.engine.circuit.machine, stateOfNames(edited.engine, names)!)).toBe(
      "TM in timed 1, DM running",
    );
    const renamed = at(dryer.replaceAll("START", "GO"));
    expect(stateOfNames(renamed.engine, names)).toBeUndefined();
  });

  it("are kept per machine; a machine nobody touched shows its default", () => {
    const { view } = viewOf(dryer, [], true);
    const states = new ChosenStates();
    const snapshot = { ...view, version: 1 };
    expect(states.wasChosen(view.file, view.machines[0]!)).toBe(false);
    expect(states.read(snapshot, 0)?.words).toBe("TM in timed 1, DM running");
    const opened = states.read(snapshot, 0, { wish: "move", control: "DOOR", position: "open" });
    expect(opened?.words).toBe("TM in timed 1, DOOR open");
    expect(states.wasChosen(view.file, view.machines[0]!)).toBe(true);
    expect(states.read(snapshot, 0)?.words).toBe("TM in timed 1, DOOR open");
    expect(states.read(snapshot, 1)).toBeUndefined();
  });
});

describe("the washer", () => {
  it("starts in a state the machine can reach, and every move of every control answers", () => {
    const { engine, readout, state } = at(washer);
    expect(engine.has(engine.all(), state())).toBe(true);
    for (const control of readout().controls)
      for (const { name } of control.positions) {
        const granted = grant(engine, state(), { wish: "move", control: control.name, position: name });
        if ("refused" in granted) expect(granted.refused).toMatch(/\.$/);
        else expect(engine.has(engine.all(), granted.state)).toBe(true);
      }
  });
});

describe("the first state of every sample", () => {
  it.each([
    ["electric-dryer", "TM in timed 1, DM running"],
    ["top-loading-washer", "LINE pulled, TM in spin 1, DM running right"],
    ["gas-burner", "HEAT on, AIR turning, GV.first open"],
    ["fan-heater", "S1 in high"],
  ])("%s", (name, words) => {
    const text = readFileSync(join(import.meta.dirname, `../../samples/${name}.camleaf`), "utf8");
    const { engine, words: now } = at(text);
    expect(now()).toBe(words);
    expect(engine.solve(defaultState(engine)).loadWatts.some((watts) => watts > 0)).toBe(true);
  });
});

describe("while an edit is still looked at", () => {
  it("goes by what was shown last, as long as the names are there", () => {
    const chosen = new ChosenStates();
    const { view } = viewOf(dryer, [], true);
    const named = view.machines[0]!;
    expect(chosen.likely(view.file, { machine: named.machine, circuit: named.circuit })).toBeUndefined();
    const state = chosen.stateOf(view.file, named)!;
    const edited = viewOf(dryer.replace("5400 W", "5500 W")).view.machines[0]!;
    expect(describeState(edited.machine, chosen.likely(view.file, edited)!)).toBe(describeState(named.machine, state));
    expect(chosen.likely(view.file, viewOf(dryer.replaceAll("DOOR", "DR")).view.machines[0]!)).toBeUndefined();
  });
});
