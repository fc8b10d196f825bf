/** What must hold in every machine, whatever it is: physics, and what the words of the engine promise. On random machines. */
import fc from "fast-check";
import { expect, test } from "vitest";
import type { Condition, Machine, MachineState } from "../../server/machine/machine.ts";
import type { Engine } from "../../server/states/engine.ts";
import { classesOf } from "../oracle/load-class.ts";
import { describeMachine } from "../support/machine-writer.ts";
import { randomMachines, SMALL } from "../support/random-machine.ts";
import { engineOf, nominalStates } from "./run.ts";

function forRandomMachines(
  runs: number,
  check: (engine: Engine, machine: Machine, reachable: MachineState[]) => void,
): void {
  fc.assert(
    fc.property(randomMachines(SMALL), (machine) => {
      const engine = engineOf(machine);
      const reachable = [...nominalStates(machine)].filter((state) => engine.has(engine.all(), state));
      try {
        check(engine, machine, reachable);
      } catch (error) {
        throw new Error(`${error}\n${describeMachine(machine)}`);
      }
    }),
    { numRuns: runs },
  );
}

const CLASSES = ["off", "weak", "works", "over"] as const;
const LIVE = ["weak", "works", "over"] as const;

test("nothing works without supply, and no motor turns", () => {
  forRandomMachines(150, (engine, machine, reachable) => {
    const off = engine.where([[{ control: machine.supply.control, positions: Uint8Array.of(0, 1) }]]);
    for (const load of machine.loads) expect(engine.isEmpty(engine.and(off, engine.when(load.id, LIVE)))).toBe(true);
    for (const state of reachable) {
      if (!engine.has(off, state)) continue;
      for (const { id, rule } of machine.controls) if (rule && rule.rule !== "latch") expect(state[id]).toBe(0);
    }
  });
});

test("a joint tied to a leg has its volts", () => {
  forRandomMachines(150, (engine, machine, reachable) => {
    const shorted = engine.shorted();
    const legs = machine.supply.legs.map((_, leg) => machine.terminals.map(({ id }) => engine.tied(id, leg)));
    for (const state of reachable) {
      if (engine.has(shorted, state)) continue;
      const { joints } = engine.solve(state);
      machine.supply.legs.forEach(({ volts }, leg) => {
        for (const { id } of machine.terminals) {
          if (!engine.has(legs[leg]![id]!, state)) continue;
          expect(joints.re[engine.circuit.jointOf[id]!]).toBeCloseTo(volts.re, 6);
          expect(joints.im[engine.circuit.jointOf[id]!]).toBeCloseTo(volts.im, 6);
        }
      });
    }
  });
});

test("only a closed contact is in series, and only with a load that is fed, and only while it carries current", () => {
  forRandomMachines(100, (engine, machine, reachable) => {
    for (const contact of machine.contacts) {
      const carries = reachable.filter(
        (state) =>
          Math.hypot(engine.solve(state).contactAmps.re[contact.id]!, engine.solve(state).contactAmps.im[contact.id]!) >
          1e-9,
      );
      for (const load of machine.loads) {
        const series = engine.inSeries(contact.id, load.id);
        if (engine.isEmpty(series)) continue;
        expect(engine.isEmpty(engine.and(series, engine.not(engine.closed(contact.id))))).toBe(true);
        expect(engine.isEmpty(engine.and(series, engine.when(load.id, ["off"])))).toBe(true);
        // A contact without current can be opened without any effect.
        expect(reachable.filter((state) => engine.has(series, state)).every((state) => carries.includes(state))).toBe(
          true,
        );
      }
    }
  });
});

const holds = (condition: Condition, state: MachineState): boolean =>
  condition.some((term) => term.every(({ control, positions }) => positions[state[control]!] === 1));

test("statements say exactly the region, and nothing in them can be left out or added", () => {
  forRandomMachines(100, (engine, machine, reachable) => {
    for (const load of machine.loads) {
      const region = engine.when(load.id, LIVE);
      const says = (condition: Condition): boolean =>
        reachable.every((state) => holds(condition, state) === engine.has(region, state));
      const statement = engine.statement(region);
      expect(says(statement)).toBe(true);
      statement.forEach((term, t) => {
        expect(says(statement.filter((_, other) => other !== t))).toBe(false);
        term.forEach((literal, l) => {
          const changed = (literals: typeof term): Condition => statement.map((one, at) => (at === t ? literals : one));
          expect(says(changed(term.filter((_, other) => other !== l)))).toBe(false);
          literal.positions.forEach((bit, position) => {
            if (bit) return;
            const wider = literal.positions.map((old, at) => (at === position ? 1 : old));
            expect(says(changed(term.map((one, at) => (at === l ? { ...one, positions: wider } : one))))).toBe(false);
          });
        });
      });
    }
  });
});

test("every reachable state has a path whose moves are single inputs and end in it", () => {
  forRandomMachines(150, (engine, machine, reachable) => {
    for (const state of reachable) {
      const inputs = Uint8Array.from(machine.controls, (control) => control.rest);
      for (const change of engine.pathTo(state)!) {
        const control = machine.controls[change.control]!;
        expect(control.settled).toBe(false);
        expect(change.position).not.toBe(inputs[control.id]);
        inputs[control.id] = change.position;
      }
      for (const control of machine.controls) if (!control.settled) expect(inputs[control.id]).toBe(state[control.id]);
    }
    const first = engine.witness(engine.all());
    if (first) expect(engine.pathTo(first)).toEqual([]);
  });
});

test("extremes are values that their own states have", () => {
  forRandomMachines(100, (engine, machine) => {
    for (const contact of machine.contacts) {
      const { largest } = engine.extreme({ of: "carries", contact: contact.id }, engine.all());
      if (largest) {
        const { re, im } = engine.solve(largest.state).contactAmps;
        expect(Math.hypot(re[contact.id]!, im[contact.id]!)).toBeCloseTo(largest.value, 9);
      }
      const breaks = engine.extreme({ of: "breaks", contact: contact.id }, engine.all()).largest;
      if (breaks) {
        const { re, im } = engine.solve(breaks.before!).contactAmps;
        expect(Math.hypot(re[contact.id]!, im[contact.id]!)).toBeCloseTo(breaks.value, 9);
        expect(breaks.before!.filter((position, control) => position !== breaks.state[control])).toHaveLength(1);
      }
    }
  });
});

test("states that are said to look alike do: every class is the one that the state's own solution gives", () => {
  forRandomMachines(100, (engine, machine, reachable) => {
    const regions = machine.loads.map(({ id }) => CLASSES.map((one) => engine.when(id, [one])));
    for (const state of reachable) {
      classesOf(engine.circuit, engine.solve(state)).forEach((loadClass, load) => {
        expect(engine.has(regions[load]![loadClass]!, state)).toBe(true);
      });
    }
  });
});

test("a small budget is told, and nothing found under it is wrong", () => {
  fc.assert(
    fc.property(randomMachines(SMALL), fc.integer({ min: 1, max: 40 }), (machine, budget) => {
      const whole = engineOf(machine);
      const part = engineOf(machine, { budget });
      const { complete, missing } = part.covered();
      expect(missing).toHaveLength(complete ? 0 : 1);
      if (complete) expect(part.count(part.all())).toBe(whole.count(whole.all()));
      for (const state of nominalStates(machine)) {
        if (part.has(part.all(), state)) expect(whole.has(whole.all(), state)).toBe(true);
      }
      // What may still come to rest is not reported as chatter.
      const known = whole.chatters().map(({ controls }) => String(controls));
      for (const { controls } of part.chatters()) expect(known).toContain(String(controls));
    }),
    { numRuns: 150 },
  );
});

test("cancelling ends the walk and says so", () => {
  fc.assert(
    fc.property(randomMachines({ ...SMALL, states: 512 }), (machine) => {
      const engine = engineOf(machine, { cancelled: () => true });
      if (!engine.covered().complete) expect(engine.covered().missing[0]).toMatch(/stopped/);
    }),
    { numRuns: 30 },
  );
});
