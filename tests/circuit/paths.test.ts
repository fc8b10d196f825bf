/** Continuity paths in tracing order, and which legs reach where. */
import { Graph } from "@dagrejs/graphlib";
import fc from "fast-check";
import { expect, test } from "vitest";
import { buildCircuit } from "../../server/circuit/build.ts";
import { circuitGraph, legsReached } from "../../server/circuit/graph.ts";
import { continuityPaths, type PathLimits } from "../../server/circuit/paths.ts";
import type { Machine } from "../../server/machine/machine.ts";
import { buildMachine, type MachineLiteral, stateOf } from "../support/build-machine.ts";
import { drawNetwork, networkSketches } from "./random-network.ts";

/** Paths as text: `L1 ~ TM.1 [TM.heat] TM.2 ~ x [HT] N`; a tilde stands for each wire on the way. */
function trace(literal: MachineLiteral, load: string, positions: Record<string, string> = {}, limits?: PathLimits) {
  const machine = buildMachine(literal);
  const circuit = buildCircuit(machine);
  const { paths, notice } = continuityPaths(
    circuit,
    stateOf(machine, positions),
    machine.loads.find(({ name }) => name === load)!.id,
    limits,
  );
  const point = (id: number): string => machine.terminals[id]!.name;
  const texts = paths.map((path) => {
    let text = machine.supply.legs[path.from]!.name;
    for (const step of path.steps) {
      const name = step.contact !== undefined ? machine.contacts[step.contact]!.name : machine.loads[step.load!]!.name;
      text += `${" ~".repeat(step.wires.length)} ${point(step.in)} [${name}] ${point(step.out)}`;
    }
    return `${text}${" ~".repeat(path.lastWires.length)} ${machine.supply.legs[path.to]!.name}`;
  });
  return { texts, notice, paths };
}

const dryer: MachineLiteral = {
  legs: { N: 0, L1: 120, L2: -120 },
  controls: { TM: ["off", "heat"], CT: ["closed", "open"] },
  wires: [
    ["L1", "TM.1"],
    ["TM.2", "CT.1"],
    ["CT.2", "HT.1"],
    ["HT.2", "splice"],
    ["splice", "L2"],
  ],
  contacts: [
    { name: "TM.heat", a: "TM.2", b: "TM.1", closed: "TM heat" },
    { name: "CT", a: "CT.1", b: "CT.2", closed: "CT closed" },
  ],
  loads: [
    { name: "HT", a: "HT.1", b: "HT.2", z: 10.67 },
    { name: "drive", a: "CT.1", b: "HT.1", z: 2600 },
  ],
};

test("from the live leg through contacts and load to the other leg, with the wires between", () => {
  expect(trace(dryer, "HT", { TM: "heat" }).texts).toEqual([
    "L1 ~ TM.1 [TM.heat] TM.2 ~ CT.1 [CT] CT.2 ~ HT.1 [HT] HT.2 ~ ~ L2",
    "L1 ~ TM.1 [TM.heat] TM.2 ~ CT.1 [drive] HT.1 HT.1 [HT] HT.2 ~ ~ L2",
  ]);
});

test("with the thermostat open the drive runs through the heater: in series, and said so", () => {
  const { texts, paths } = trace(dryer, "drive", { TM: "heat", CT: "open" });
  expect(texts).toEqual(["L1 ~ TM.1 [TM.heat] TM.2 ~ CT.1 [drive] HT.1 HT.1 [HT] HT.2 ~ ~ L2"]);
  expect(paths[0]!.otherLoads).toEqual([0]);
});

test("no path while the timer is off; the live leg comes first also when the load is written from the neutral", () => {
  expect(trace(dryer, "HT").texts).toEqual([]);
  const lamp: MachineLiteral = { legs: { N: 0, L1: 120 }, loads: [{ name: "LP", a: "N", b: "L1", z: 144 }] };
  expect(trace(lamp, "LP").texts).toEqual(["L1 L1 [LP] N N"]);
});

test("a bounded search gives the shortest paths and says that there are more", () => {
  const names = ["a", "b", "c", "d", "e", "f"];
  const mesh: MachineLiteral = {
    legs: { L: 120, N: 0 },
    contacts: [
      { name: "in", a: "L", b: "a", closed: "always" },
      ...names.flatMap((a, i) => names.slice(i + 1).map((b) => ({ name: `${a}-${b}`, a, b, closed: "always" }))),
    ],
    loads: [{ name: "X", a: "f", b: "N", z: 10 }],
  };
  const all = trace(mesh, "X", {}, { paths: 1000 });
  // Simple paths between two corners of a complete graph of 6: sum of 4!/(4-k)! for k = 0..4 = 65 (counted by hand).
  expect(all.texts).toHaveLength(65);
  expect(all.notice).toBeUndefined();
  const few = trace(mesh, "X", {}, { paths: 3 });
  expect(few.paths.map(({ steps }) => steps.length)).toEqual([3, 4, 4]);
  expect(few.notice).toContain("More ways");
  expect(trace(mesh, "X", {}, { stretches: 10 }).notice).toContain("More ways");
});

test("legs in reach of each connection, through contacts alone and through anything", () => {
  const machine = buildMachine(dryer);
  const circuit = buildCircuit(machine);
  const reach = legsReached(circuit, stateOf(machine, { TM: "heat", CT: "open" }));
  const at = (name: string): number => circuit.jointOf[machine.terminals.find((one) => one.name === name)!.id]!;
  expect(reach.byContacts[at("CT.1")]).toBe(0b010);
  expect(reach.byContacts[at("HT.1")]).toBe(0);
  expect(reach.byAnything[at("HT.1")]).toBe(0b110);
});

test("the graph has joints as nodes, contacts and loads as edges", () => {
  const graph = circuitGraph(buildCircuit(buildMachine(dryer)));
  expect(graph).toBeInstanceOf(Graph);
  expect([graph.nodeCount(), graph.edgeCount()]).toEqual([5, 4]);
});

/** Edits of which each may leave some ways and take or bring others; names and watts leave them all. */
const edits: readonly ((machine: Machine) => Machine)[] = [
  (m) => ({ ...m, loads: m.loads.map((load) => ({ ...load, name: `${load.name}x`, impedance: [{ re: 7, im: 1 }] })) }),
  (m) => ({ ...m, contacts: m.contacts.map((one, at) => (at === 0 ? { ...one, closed: [] } : one)) }),
  (m) => ({ ...m, contacts: m.contacts.map((one, at) => (at === 0 ? { ...one, a: one.b, b: one.a } : one)) }),
  (m) => ({
    ...m,
    contacts: m.contacts.map((one, at) => (at === 1 ? { ...one, b: m.supply.legs[0]!.terminal } : one)),
  }),
  (m) => ({ ...m, loads: m.loads.map((load, at) => (at === 1 ? { ...load, impedance: [undefined] } : load)) }),
  (m) => ({ ...m, loads: m.loads.map((load, at) => (at === 1 ? { ...load, a: m.supply.legs[1]!.terminal } : load)) }),
  (m) => ({
    ...m,
    supply: { ...m.supply, legs: m.supply.legs.map((leg) => ({ ...leg, volts: m.supply.legs[0]!.volts })) },
  }),
  (m) => ({ ...m, transformers: [windings(m, 1)] }),
  (m) => ({ ...m, transformers: [windings(m, 2)] }),
  (m) => ({ ...m, loads: [...m.loads].reverse().map((load, id) => ({ ...load, id })) }),
];

function windings({ terminals, supply, parts }: Machine, second: number): Machine["transformers"][number] {
  const ends = (a: number, b: number) => [terminals.at(a)!.id, terminals.at(b)!.id] as const;
  const nothing = { re: 0, im: 0 };
  const { place } = parts[supply.part]!;
  return {
    part: supply.part,
    primary: ends(0, -1),
    secondary: ends(-2, second),
    ratio: 10,
    series: nothing,
    magnetising: nothing,
    place,
  };
}

test("ways that are found again after an edit are those that a search finds", () => {
  let unlike = 20_000;
  fc.assert(
    fc.property(networkSketches(5, 6, 6), fc.array(fc.nat(edits.length - 1), { maxLength: 4 }), (sketch, chosen) => {
      let machine = drawNetwork(sketch, () => 0);
      for (const edit of [undefined, ...chosen]) {
        if (edit !== undefined) machine = edits[edit]!(machine);
        const circuit = buildCircuit(machine);
        const state = stateOf(machine, {});
        for (const { id } of machine.loads) {
          const texts = ({ paths }: ReturnType<typeof continuityPaths>) => JSON.stringify(paths);
          const found = texts(continuityPaths(circuit, state, id));
          // A limit that was never asked for before: nothing is kept for it, and none of these networks reaches it.
          expect(found).toBe(texts(continuityPaths(circuit, state, id, { stretches: unlike++ })));
        }
      }
    }),
    { numRuns: 150 },
  );
});
