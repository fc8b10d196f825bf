/** Contacts that act some time after their part is fed, or after its feed has gone. */
import {
  always,
  andConditions,
  literalCondition,
  maskOf,
  never,
  notCondition,
  orConditions,
} from "./condition-algebra.ts";
import type { Draft, PartDraft } from "./draft.ts";
import type { ChangeRule, Condition, ControlId, Load, LoadId } from "./machine.ts";

export interface DelayTimes {
  /** From feeding the part to closing, as written. */
  readonly closes?: string;
  /** From its feed going to opening, as written. */
  readonly opens?: string;
}

/** What a delay counts from: the part's coil pulled in, its own feed alive, or else the contact's own condition. */
export interface DelayStart {
  readonly draft: Draft;
  readonly part: PartDraft;
  readonly starter?: ControlId;
  readonly feeds: readonly LoadId[];
}

export interface Delay {
  /** When the contact is closed, from when it would be without the delay; undefined: nothing is said but the delay. */
  of(own: Condition | undefined): Condition;
}

/**
 * One control of two positions for both delays: it goes over some time after the feed came, and back some time after it went. A feed that
 * comes and goes sooner moves nothing. `closes after` alone opens at once, `opens after` alone closes at once.
 */
export function addDelay(start: DelayStart, name: string, times: DelayTimes, place: Load["place"]): Delay {
  const { draft, part, starter, feeds } = start;
  const acting = name.replace(/\.delay$/, "");
  // A lock without other contacts is its delay: `LK closed`.
  const lock = part.kind === "lock";
  const names = lock ? ["open", "closed"] : ["before", "after"];
  const control = draft.addControl(part, {
    name,
    role: "delay",
    positions: names.map((each) => ({ name: each })),
    rest: 0,
    settled: false,
    place,
  });
  const after = literalCondition(control, maskOf(2, [1]));
  let first: Condition | undefined;
  draft.later(() => {
    const tests = feeds.map((load) => ({ load, atLeast: "weak" as const }));
    const fed = starter === undefined ? undefined : literalCondition(starter, maskOf(2, [1]));
    const when = fed ?? (tests.length === 0 ? first : undefined);
    const [acts, back] = lock ? ["closes", "opens"] : ["acts", "goes back"];
    const on: ChangeRule = {
      from: maskOf(2, [0]),
      to: maskOf(2, [1]),
      by: 1,
      words: times.closes === undefined ? `${acting} ${acts}` : `time passes: ${acting} ${acts}`,
      ...(when ? { when } : tests.length > 0 ? { needs: tests.map((test) => [test]) } : {}),
    };
    const off: ChangeRule = {
      from: maskOf(2, [1]),
      to: maskOf(2, [0]),
      words: times.opens === undefined ? `${acting} ${back}` : `time passes: ${acting} ${back}`,
      ...(when ? { when: notCondition(when) } : tests.length > 0 ? { unless: tests } : {}),
    };
    draft.controls[control]!.changes = [on, off];
  }, 1);
  return {
    of(own) {
      if (own !== undefined) first ??= own;
      const now = times.closes === undefined ? (own ?? never) : andConditions(own ?? always, after);
      return times.opens === undefined ? now : orConditions(now, after);
    },
  };
}
