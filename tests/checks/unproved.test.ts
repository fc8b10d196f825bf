/**
 * With next to no effort for its searches the engine knows bounds only. Whatever a check finds with full effort it must then still find, or say of
 * that same part that it could not be judged: never nothing. Checked on damaged samples and on random machines, each with some tiny efforts.
 */
import * as fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Finding } from "../../server/base/finding.ts";
import type { Place } from "../../server/base/place.ts";
import { toEnd } from "../../server/base/to-end.ts";
import { runChecks } from "../../server/checks/run-checks.ts";
import { buildCircuit } from "../../server/circuit/build.ts";
import type { Contact, Machine, RatingPoint } from "../../server/machine/machine.ts";
import { makeExactEngine } from "../../server/states/exact/exact-engine.ts";
import { MEDIUM, randomMachines } from "../support/random-machine.ts";
import { damaged, damages, pick } from "./mutations/damage.ts";
import { machineOf, names, textOf } from "./mutations/machines.ts";

interface Effort {
  readonly visits: number;
  readonly looks: number;
}

const EFFORTS: readonly Effort[] = [
  { visits: 0, looks: 0 },
  { visits: 1, looks: 1 },
  { visits: 4, looks: 0 },
  { visits: 0, looks: 3 },
];

/** Machines that searches of extremes have something to say about. */
const AMOUNTS = /rating|size|undersize|volts|breaker|cord|fuse|thin|capacitor|leg|swap|series|one terminal|reduced/;

function findings(machine: Machine, effort?: Effort): Finding[] {
  function* analyse(changed: Machine) {
    return yield* makeExactEngine(buildCircuit(changed), effort ? { effort } : {});
  }
  return toEnd(runChecks(toEnd(analyse(machine)), { analyse }));
}

const isOpen = ({ what, why }: Finding): boolean =>
  /could not be judged to the end|not proved|not every state|search was cut short/i.test(what + why);

const at = (place: Place): string => `${place.file} ${place.from}`;

/** What the full run tells and the other passes over in silence. */
function passedOver(full: readonly Finding[], cut: readonly Finding[]): string[] {
  const said = new Set(
    cut.flatMap((finding) => [
      `${finding.id} ${at(finding.place)}`,
      ...(isOpen(finding) ? finding.related.map(({ place }) => `${finding.id} ${at(place)}`) : []),
    ]),
  );
  return full.filter(({ id, place }) => !said.has(`${id} ${at(place)}`)).map(({ id, what }) => `${id}: ${what}`);
}

/** Tells nothing as found that the full run does not find. */
function untrue(full: readonly Finding[], cut: readonly Finding[]): string[] {
  const found = new Set(full.map(({ id, place }) => `${id} ${at(place)}`));
  return cut
    .filter((finding) => !isOpen(finding) && !found.has(`${finding.id} ${at(finding.place)}`))
    .map(({ id, what }) => `${id}: ${what}`);
}

let opened = 0;
const compared = new Map<string, number>();

function compare(machine: Machine, words: string, efforts: readonly Effort[]): void {
  const full = findings(machine);
  expect(
    full.filter(isOpen).map(({ what }) => what),
    words,
  ).toEqual([]);
  for (const { id } of full) compared.set(id, (compared.get(id) ?? 0) + 1);
  for (const effort of efforts) {
    const cut = findings(machine, effort);
    opened += cut.filter(isOpen).length;
    const told = `${words}, ${effort.visits} visits and ${effort.looks} looks`;
    expect(passedOver(full, cut), told).toEqual([]);
    expect(untrue(full, cut), told).toEqual([]);
    for (const { what, id } of cut) expect(`${id} ${what}`, told).not.toMatch(/undefined|NaN|Infinity|check-failed/);
  }
}

describe.each(names)("%s, whole and damaged", (name) => {
  const machine = machineOf(textOf(name));
  it("nothing found with full effort is passed over with little", { timeout: 600_000 }, () => {
    compare(machine, name, EFFORTS);
    const some = pick(
      damages(machine).filter(({ kind }) => AMOUNTS.test(kind)),
      12,
      3,
    );
    some.forEach((damage, i) => {
      compare(damaged(machine, damage), `${name}: ${damage.words}`, [EFFORTS[i % EFFORTS.length]!]);
    });
  });
});

/** Marks for everything, drawn at random, and a place of its own for everything that findings stand at. */
function marked(machine: Machine, draw: (below: number) => number): Machine {
  let from = 0;
  const place = (): Place => ({ file: "random", from: ++from, to: from });
  const point = (): RatingPoint => {
    const volts = [30, 125, 125, 250, 480][draw(5)]!;
    const amps = [0.1, 1, 3, 8, 20][draw(5)]!;
    const duty = (["general", "general", "resistive", "motor", "inductive"] as const)[draw(5)]!;
    const made = duty === "motor" ? { makes: amps * 6, breaks: amps } : {};
    return { volts, amps, duty, ...made, place: place(), text: `${amps} A ${volts} V ${duty}` };
  };
  const role = (): Contact["role"] => (draw(8) === 0 ? "fuse" : "switching");
  return {
    ...machine,
    contacts: machine.contacts.map((contact) => ({
      ...contact,
      namePlace: place(),
      place: place(),
      role: role(),
      ratings: Array.from({ length: 1 + draw(3) }, point),
    })),
    loads: machine.loads.map((load) => ({
      ...load,
      namePlace: place(),
      place: place(),
      ...(load.kind === "capacitor" && { ratedVolts: [60, 130, 400][draw(3)]! }),
    })),
    wires: machine.wires.map((wire) => ({ ...wire, area: 0.823, sizeText: "18 AWG", place: place() })),
    supply: {
      ...machine.supply,
      stated: true,
      place: place(),
      breakerAmps: [1, 5, 15, 60][draw(4)]!,
      cord: { area: 0.823, text: "18 AWG", place: place() },
    },
  };
}

it("random machines: nothing found with full effort is passed over with little", { timeout: 600_000 }, () => {
  let seed = 1;
  const draw = (below: number): number => {
    seed = (Math.imul(seed, 1103515245) + 12345) >>> 0;
    return (seed >>> 8) % below;
  };
  fc.sample(randomMachines(MEDIUM), { numRuns: 100, seed: 11 }).forEach((machine, i) => {
    compare(marked(machine, draw), `random machine ${i}`, [EFFORTS[i % EFFORTS.length]!]);
  });
});

it("the comparison has something to compare: searches are cut, and every check that asks for amounts finds something", () => {
  expect(opened).toBeGreaterThan(100);
  for (const id of [
    "contact-over-rating",
    "breaker-size",
    "breaker-too-large",
    "cord-size",
    "wire-size",
    "capacitor-volts",
    "wrong-voltage",
    "lost-neutral",
    "expectation",
    "meant-volts-untrue",
  ])
    expect(compared.get(id) ?? 0, id).toBeGreaterThan(0);
});
