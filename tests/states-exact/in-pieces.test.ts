/**
 * Long questions in short jobs, and questions asked again after an edit: the answers are those of one long search in a fresh engine. There is no
 * published source for this; the fresh engine is held against the plain walk in the other tests here.
 */
import { expect, test } from "vitest";
import { toEnd } from "../../server/base/to-end.ts";
import { buildCircuit } from "../../server/circuit/build.ts";
import type { Machine } from "../../server/machine/machine.ts";
import type { Engine, Extremes, Quantity } from "../../server/states/engine.ts";
import { EngineMemory, type ExactOptions, makeExactEngine } from "../../server/states/exact/exact-engine.ts";
import { inPieces } from "../../server/states/in-pieces.ts";
import { edited } from "../bench/ask-everything.ts";
import { generatedMachine } from "../bench/generated-machine.ts";

const { machine } = generatedMachine({ seed: 4, devices: 30 });

function engineOf(of: Machine, options: ExactOptions = {}): Engine {
  return toEnd(makeExactEngine(buildCircuit(of), options));
}

function questionsOf({ contacts, loads }: Machine): Quantity[] {
  return [
    ...loads.map(({ id }): Quantity => ({ of: "load-volts", load: id })),
    ...contacts.flatMap(({ id }): Quantity[] => [
      { of: "carries", contact: id },
      { of: "makes", contact: id },
      { of: "breaks", contact: id },
      { of: "breaks-volts", contact: id },
    ]),
  ];
}

/** Both are proved and equal, or what one found lies below the bound of the other. */
function expectAgreement(a: Extremes, b: Extremes, about: Quantity): void {
  const words = JSON.stringify(about);
  if (a.exact && b.exact) {
    expect(a.largest?.value ?? -1, words).toBeCloseTo(b.largest?.value ?? -1, 9);
    expect(a.smallest?.value ?? -1, words).toBeCloseTo(b.smallest?.value ?? -1, 9);
    return;
  }
  for (const [one, other] of [
    [a, b],
    [b, a],
  ] as const)
    expect(one.largest?.value ?? 0, words).toBeLessThanOrEqual(
      (other.exact ? other.largest!.value : other.bound!) * (1 + 1e-9),
    );
}

test("asked in pieces, questions get the answers of one long search", () => {
  const whole = engineOf(machine);
  const pieces = engineOf(machine, { piece: 3 });
  let yields = 0;
  for (const question of questionsOf(machine)) {
    const run = inPieces(pieces, question, pieces.all());
    let step = run.next();
    for (; !step.done; step = run.next()) yields++;
    expectAgreement(step.value, whole.extreme(question, whole.all()), question);
  }
  expect(yields).toBeGreaterThan(100);
});

test("a question left in the middle is answered whole when it is asked again", () => {
  const whole = engineOf(machine);
  const left = engineOf(machine, { piece: 1 });
  for (const question of questionsOf(machine)) {
    const run = inPieces(left, question, left.all());
    run.next();
    run.next();
    // Another question comes in between, as a hover does.
    left.extreme({ of: "load-amps", load: 0 }, left.all());
    expectAgreement(left.extreme(question, left.all()), whole.extreme(question, whole.all()), question);
  }
});

test("after edits of a value, answers of a long memory are those of a fresh engine", () => {
  const memory = new EngineMemory();
  for (const times of [1, 1.01, 2.5, 0.2, 1]) {
    const changed = edited(machine, times);
    const kept = engineOf(changed, { memory });
    const fresh = engineOf(changed);
    for (const load of machine.loads)
      expect(kept.count(kept.when(load.id, ["works", "over"])), load.name).toBe(
        fresh.count(fresh.when(load.id, ["works", "over"])),
      );
    for (const question of questionsOf(machine)) {
      const told = kept.extreme(question, kept.all());
      expectAgreement(told, fresh.extreme(question, fresh.all()), question);
      const state = told.largest?.state;
      if (state === undefined || question.of !== "carries") continue;
      // The state told shows the value told, in the edited circuit.
      const { re, im } = kept.solve(state).contactAmps;
      expect(Math.hypot(re[question.contact]!, im[question.contact]!)).toBeCloseTo(told.largest!.value, 6);
    }
  }
});
