/**
 * Every field of the difference against brute force, on random machines with random proposals of every kind of edit: other models, plates
 * and ratings, wires taken out, moved and put in, parts added and taken out, another supply.
 */
import * as fc from "fast-check";
import { expect, test } from "vitest";
import { parse } from "../../grammar/parse.ts";
import type { ProposalStatement } from "../../grammar/tree.ts";
import { toldState } from "../../server/checks/ask.ts";
import { checks } from "../../server/checks/registry.ts";
import { runChecks } from "../../server/checks/run-checks.ts";
import { resolveMachines } from "../../server/machine/index.ts";
import { applyProposal } from "../../server/proposals/apply.ts";
import { type Difference, differenceOf } from "../../server/proposals/difference.ts";
import type { Engine } from "../../server/states/engine.ts";
import { enginesOf, finish } from "../states-exact/compare.ts";
import { oracleDifference } from "./oracle-difference.ts";
import { type DrawnEdit, drawnProposals, type EditKind, proposalText } from "./random-proposal.ts";
import { type MachineSketch, machineSketches, machineText, writtenMachine } from "./random-text.ts";

const RUNS = Math.ceil(Number(process.env.RUNS ?? 5000) / 80);
const kinds: readonly EditKind[] = [
  "jumper",
  "wire",
  "remove-wire",
  "move-wire",
  "move-end",
  "remove",
  "rating",
  "value",
  "replace",
  "add",
  "supply",
];

/** Checks whose findings a comparison must not miss: new shorts, back-feeds, overloads, what conductors carry. Found by either engine. */
const told = checks.filter(({ id }) =>
  [
    "legs-shorted",
    "back-feed",
    "series-feed",
    "contact-over-rating",
    "wire-size",
    "breaker-size",
    "wrong-voltage",
    "guard-defeated",
    "load-without-protector",
  ].includes(id),
);
const findingsOf = (engine: Engine) => finish(runChecks(engine, { checks: told, phase: "main" }));
const subject = ({ id, what }: { id: string; what: string }) => `${id} ${what.split(" ")[0]}`;

function applied(sketch: MachineSketch, drawn: readonly DrawnEdit[]) {
  const text = machineText(writtenMachine(sketch));
  const bare = resolveMachines(new Map([["m", parse(text)]]), "m")[0]!;
  const whole = `${text}${proposalText(bare, drawn)}`;
  const files = new Map([["m", parse(whole)]]);
  const base = resolveMachines(files, "m")[0]!;
  const statement = files
    .get("m")!
    .statements.find((each): each is ProposalStatement => each.statement === "proposal")!;
  const { machine } = applyProposal(base, files, { statement, file: "m" });
  return { base, machine, whole };
}

function facts(difference: Difference) {
  const bare = (name: string) => name.split(" (")[0]!;
  return {
    bridged: difference.bridged.map(({ contact }) => bare(contact)).sort(),
    short: difference.shorts !== undefined,
    selfStarts: difference.selfStarts.map(({ load }) => bare(load)).sort(),
    guards: difference.guards.map(({ part, hazard, change }) => `${part} ${hazard} ${change}`).sort(),
    protection: difference.protection
      .map(({ device, load, change }) => `${bare(device)} ${bare(load)} ${change}`)
      .sort(),
    come: difference.loads
      .flatMap(({ load, change }) => (change === "changed" ? [] : [`${bare(load)} ${change}`]))
      .sort(),
    conductors: difference.conductors.map(({ size }) => size).sort(),
    unmissed: difference.loads.flatMap(({ load, unmissed }) => (unmissed ? [bare(load)] : [])).sort(),
    lostAir: difference.lostAir.map(({ fan, heaters }) => [fan, ...heaters].map(bare).join(" ")).sort(),
    loads: difference.loads
      .filter(({ change }) => change === "changed")
      .map(
        ({ load, gained, lost, watts }) =>
          `${bare(load)}${gained ? " gained" : ""}${lost ? " lost" : ""}${watts ? " watts" : ""}`,
      )
      .sort(),
    contacts: difference.contacts.map(({ contact, act }) => `${bare(contact)} ${act}`).sort(),
  };
}

/** Amounts that both tell are the same, but for the last digits. */
function expectAmounts({ loads, contacts, conductors }: Difference, oracle: ReturnType<typeof oracleDifference>): void {
  const near = (
    told: readonly (number | undefined)[] | undefined,
    found: readonly (number | undefined)[] | undefined,
  ) =>
    found?.forEach((amount, side) => {
      expect(told?.[side] === undefined).toBe(amount === undefined);
      if (amount !== undefined) expect(Math.abs(told![side]! - amount)).toBeLessThanOrEqual(1e-6 * Math.max(1, amount));
    });
  for (const { load, watts } of loads) near(watts, oracle.loads.get(load.split(" (")[0]!)?.watts);
  for (const { size, before, after } of conductors) near([before, after], oracle.conductors.get(size));
  for (const { contact, act, before, after } of contacts)
    near([before, after], oracle.contacts.get(`${contact.split(" (")[0]} ${act}`));
}

/**
 * The plain walk does not tell apart what contacts side by side share of one kind of load (its answer is then the most that it can be): that is
 * taken from the exact engine, which `tests/states-exact` holds to the walk wherever it tells.
 */
function plainWithShares({ plain, exact }: ReturnType<typeof enginesOf>): Engine {
  const extreme: Engine["extreme"] = (quantity, care) =>
    "loads" in quantity && quantity.loads ? exact.extreme(quantity, exact.all()) : plain.extreme(quantity, care);
  return Object.create(plain, { extreme: { value: extreme } }) as Engine;
}

test("every field is that of the brute-force lists", () => {
  const seen = new Map<string, number>();
  fc.assert(
    fc.property(machineSketches, drawnProposals(kinds), (sketch, drawn) => {
      const { base, machine, whole } = applied(sketch, drawn);
      if (!machine) return;
      const [one, two] = [enginesOf(base), enginesOf(machine)];
      const side = (engine: Engine) => ({ engine, findings: findingsOf(engine) });
      const difference = finish(differenceOf(side(one.exact), side(two.exact)));
      const oracle = oracleDifference(one.plain, two.plain);
      const expected = {
        bridged: [...oracle.bridged].sort(),
        short: oracle.short,
        selfStarts: [...oracle.selfStarts].sort(),
        guards: [...oracle.guards].sort(),
        protection: [...oracle.protection].sort(),
        come: [...oracle.come].sort(),
        unmissed: [...oracle.unmissed].sort(),
        lostAir: [...oracle.lostAir].sort(),
        loads: [...oracle.loads]
          .map(
            ([name, { gained, lost, watts }]) =>
              `${name}${gained ? " gained" : ""}${lost ? " lost" : ""}${watts ? " watts" : ""}`,
          )
          .sort(),
        contacts: [...oracle.contacts.keys()].sort(),
        conductors: [...oracle.conductors.keys()].sort(),
      };
      try {
        expect(facts(difference)).toEqual(expected);
        expectAmounts(difference, oracle);
        // What is told anew is found in the changed machine by the plain walk too, and nothing new of it is missed.
        const [before, after] = [one, two].map((engines) => new Set(findingsOf(plainWithShares(engines)).map(subject)));
        const news = new Set(difference.newFindings.map(subject));
        for (const each of news) expect(after).toContain(each);
        expect([...after!].filter((each) => !before!.has(each) && !news.has(each))).toEqual([]);
        const gone = new Set(difference.vanishedFindings.map(subject));
        for (const each of gone) expect(before).toContain(each);
        expect([...before!].filter((each) => !after!.has(each) && !gone.has(each))).toEqual([]);
        statesHold(difference, one.plain, two.plain);
      } catch (error) {
        const told = JSON.stringify([facts(difference), expected], undefined, 1);
        throw new Error(`${whole}\n${error instanceof Error ? error.message : error}\n${told}`);
      }
      for (const [field, value] of Object.entries(difference))
        if (field === "shorts" ? value : (value as unknown[]).length > 0) seen.set(field, (seen.get(field) ?? 0) + 1);
    }),
    { numRuns: RUNS },
  );
  // The property would mean little if the rewires changed nothing of a field; some fields are rare among few runs.
  const rare = ["lostAir", "selfStarts", "bridged", "shorts", "guards", "protection", "conductors", "vanishedFindings"];
  for (const field of ["loads", "contacts", "newFindings", ...(RUNS >= 400 ? rare : [])])
    expect([field, (seen.get(field) ?? 0) > 0]).toEqual([field, true]);
});

/** Every state that is told to show something is one that the machine reaches, and shows it. */
function statesHold({ loads, guards, protection, shorts }: Difference, one: Engine, two: Engine): void {
  const load = (engine: Engine, name: string) =>
    engine.circuit.machine.loads.find((each) => each.name === name.split(" (")[0])!;
  for (const each of loads) {
    if (each.change !== "changed") continue;
    for (const [engine, state] of [
      [two, each.gained],
      [one, each.lost],
    ] as const) {
      if (!state) continue;
      const at = toldState(engine.circuit.machine, state)!;
      expect(engine.has(engine.when(load(engine, each.load).id, ["weak", "works", "over"]), at)).toBe(true);
    }
  }
  if (shorts) expect(two.has(two.shorted(), toldState(two.circuit.machine, shorts)!)).toBe(true);
  for (const { change, state } of guards)
    if (state)
      expect(
        (change === "defeated" ? two : one).has(
          (change === "defeated" ? two : one).all(),
          toldState((change === "defeated" ? two : one).circuit.machine, state)!,
        ),
      ).toBe(true);
  for (const { change, state, load: name, device } of protection) {
    if (!state) continue;
    const engine = change === "lost" ? two : one;
    const at = toldState(engine.circuit.machine, state)!;
    const id = load(engine, name).id;
    expect(engine.has(engine.when(id, ["weak", "works", "over"]), at)).toBe(true);
    const contact = engine.circuit.machine.contacts.find((each) => each.name === device.split(" (")[0]);
    if (contact) expect(engine.has(engine.inSeries(contact.id, id), at)).toBe(false);
  }
}
