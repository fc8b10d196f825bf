/** Which single changes the rules of an input allow: hand-written tables. */
import { expect, test } from "vitest";
import type { ChangeRule, ControlId, Machine } from "../../server/machine/machine.ts";
import { MachineWriter } from "../support/machine-writer.ts";
import { bothEnginesOf, statesOf, table } from "./run.ts";

function withChanges(machine: Machine, changes: ReadonlyMap<ControlId, readonly ChangeRule[]>): Machine {
  return {
    ...machine,
    controls: machine.controls.map((one) => ({ ...one, changes: changes.get(one.id) ?? one.changes })),
  };
}

test("a hot part gets hot only while fed, cools only while unfed, and is fed again hot only from the switch", () => {
  // SW cannot be thrown while the lock is hot: `when`.
  const out = new MachineWriter();
  const sw = out.input("SW", ["off", "on"]);
  const heat = out.input("PTC", ["cold", "hot"], { role: "heat-memory" });
  const fed = out.joint();
  out.contact(out.L1, fed, out.in(sw, 1));
  const ptc = out.load("PTC", "ptc", fed, out.N, { re: 1000, im: 0 }, { ratedVolts: 120 });
  const energised = { load: ptc, atLeast: "weak" } as const;
  const rules = new Map<ControlId, ChangeRule[]>([
    [
      heat,
      [
        { from: out.mask(heat, [0]), to: out.mask(heat, [1]), needs: [[energised]], words: "PTC warms" },
        { from: out.mask(heat, [1]), to: out.mask(heat, [0]), unless: [energised], words: "PTC cools" },
      ],
    ],
    [
      sw,
      [
        { from: out.mask(sw, [0]), to: out.mask(sw, [1]), words: "switch on" },
        { from: out.mask(sw, [1]), to: out.mask(sw, [0]), when: [[out.in(heat, 0)]], words: "switch off" },
      ],
    ],
    [out.supply, []],
  ]);
  const engine = bothEnginesOf(withChanges(out.machine(), rules));
  // Hot and on, nothing can change any more: no cooling while fed, no switching while hot.
  expect(statesOf(engine)).toEqual(table("on off cold\n on on cold\n on on hot"));

  const unlocked = new Map(rules).set(sw, [
    { from: out.mask(sw, [0, 1]), to: out.mask(sw, [0, 1]), words: "switch {position}" },
  ]);
  const free = bothEnginesOf(withChanges(out.machine(), unlocked));
  expect(statesOf(free)).toEqual(table("on off cold\n on on cold\n on on hot\n on off hot"));
  expect(free.pathTo(Uint8Array.of(0, 0, 1))?.map(({ words }) => words)).toEqual([
    "switch on",
    "PTC warms",
    "switch off",
  ]);
});

test("a one-shot link opens while its heater is fed and never closes", () => {
  const out = new MachineWriter();
  const sw = out.input("SW", ["off", "on"]);
  const link = out.input("TL", ["closed", "open"], { role: "thermal" });
  const [fed, past] = [out.joint(), out.joint()];
  out.contact(out.L1, fed, out.in(sw, 1));
  out.contact(fed, past, out.in(link, 0));
  const heater = out.load("HT", "heater", past, out.N, { re: 12, im: 0 }, { ratedVolts: 120 });
  const rules = new Map<ControlId, ChangeRule[]>([
    [
      link,
      [
        {
          from: out.mask(link, [0]),
          to: out.mask(link, [1]),
          needs: [[{ load: heater, atLeast: "works" }]],
          words: "TL opens",
        },
      ],
    ],
    [out.supply, []],
  ]);
  const engine = bothEnginesOf(withChanges(out.machine(), rules));
  expect(statesOf(engine)).toEqual(table("on off closed\n on on closed\n on on open\n on off open"));
  expect(engine.pathTo(Uint8Array.of(0, 0, 1))).toHaveLength(3);
});

test("a timer steps by one and from the last step to the first, a level falls by one and not from the lowest to the highest", () => {
  const out = new MachineWriter();
  const timer = out.input("TM", ["1", "2", "3"], { role: "timer", rest: 1 });
  const level = out.input("WL", ["low", "mid", "high"], { role: "level", rest: 1 });
  const every = [0, 1, 2];
  const rules = new Map<ControlId, ChangeRule[]>([
    [timer, [{ from: out.mask(timer, every), to: out.mask(timer, every), by: 1, words: "TM to {position}" }]],
    [level, [{ from: out.mask(level, every), to: out.mask(level, every), by: -1, words: "WL falls to {position}" }]],
    [out.supply, []],
  ]);
  const engine = bothEnginesOf(withChanges(out.machine(), rules));
  expect(statesOf(engine)).toEqual(table("on 1 low\n on 2 low\n on 3 low\n on 1 mid\n on 2 mid\n on 3 mid"));
  expect(engine.pathTo(Uint8Array.of(0, 0, 1))?.map(({ words }) => words)).toEqual(["TM to 3", "TM to 1"]);
});

test("any one of the loads named keeps a hot part hot", () => {
  const out = new MachineWriter();
  const which = out.input("SW", ["off", "one", "two"]);
  const heat = out.input("HOT", ["no", "yes"], { role: "heat-memory", rest: 1 });
  const loads = [1, 2].map((position) => {
    const fed = out.joint();
    out.contact(out.L1, fed, out.in(which, position));
    return out.load(`H${position}`, "heater", fed, out.N, { re: 100, im: 0 }, { ratedVolts: 120 });
  });
  const unless = loads.map((load) => ({ load, atLeast: "weak" as const }));
  const rules = new Map<ControlId, ChangeRule[]>([
    [heat, [{ from: out.mask(heat, [1]), to: out.mask(heat, [0]), unless, words: "cools" }]],
    [out.supply, []],
    // From off to a heater only, so that a cold part with a heater on would show that it cooled while fed; and never back.
    [
      which,
      [{ from: out.mask(which, [0]), to: out.mask(which, [1, 2]), when: [[out.in(heat, 1)]], words: "SW {position}" }],
    ],
  ]);
  const engine = bothEnginesOf(withChanges(out.machine(), rules));
  expect(statesOf(engine)).toEqual(table("on off yes\n on one yes\n on two yes\n on off no"));
});
