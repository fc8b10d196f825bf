/** Controls that parts bring with them, with their rules of change. */
import type { QuantityNode } from "../../grammar/tree.ts";
import type { Place } from "../base/place.ts";
import { maskAll, maskOf } from "./condition-algebra.ts";
import type { Draft, PartDraft } from "./draft.ts";
import type { ChangeRule, ControlId, LoadId, LoadTest } from "./machine.ts";

/** Room temperature at which machines rest, °C. */
export const restTemperature = 25;

const closedMask = Uint8Array.of(1, 0);
const openMask = Uint8Array.of(0, 1);

export interface ThermalPlan {
  readonly opens?: QuantityNode;
  readonly closes?: QuantityNode;
  readonly differential?: number;
  readonly resets: "self" | "hand" | "never";
  readonly byHand: boolean;
}

/**
 * Rest is what 25 °C gives. A part that opens above where it closes opens by heat; one that closes above where it opens
 * (a cold control) opens by cold. Between the two it stays as it came from the shelf: not yet opened, or not yet closed.
 */
export function thermalRest(plan: ThermalPlan): { readonly rest: 0 | 1; readonly byHeat: boolean } {
  const opens = plan.opens?.dimension === "temperature" ? plan.opens.value : undefined;
  const closes = plan.closes?.dimension === "temperature" ? plan.closes.value : undefined;
  const upper = plan.opens?.upper ?? opens;
  if (opens === undefined && closes === undefined) return { rest: 0, byHeat: true };
  // An adjustable one is set by hand to anything in its range: it counts as set above the room when the range allows that.
  if (closes === undefined) return { rest: restTemperature < upper! ? 0 : 1, byHeat: true };
  if (opens === undefined) return { rest: restTemperature >= closes ? 0 : 1, byHeat: false };
  if (opens >= closes) return { rest: restTemperature < upper! ? 0 : 1, byHeat: true };
  return { rest: restTemperature >= closes ? 0 : 1, byHeat: false };
}

/** A thermal control: positions closed, open. Its rules are completed when the things that warm it are known. */
export function addThermal(draft: Draft, part: PartDraft, name: string, plan: ThermalPlan, place: Place): ControlId {
  const { rest } = thermalRest(plan);
  return draft.addControl(part, {
    name,
    role: "thermal",
    positions: [{ name: "closed" }, { name: "open" }],
    rest,
    settled: false,
    changes: thermalRules(name, plan, undefined),
    place,
  });
}

export function thermalRules(name: string, plan: ThermalPlan, warmers: readonly LoadId[] | undefined): ChangeRule[] {
  const { byHeat } = thermalRest(plan);
  const needs = warmers?.map((load): LoadTest[] => [{ load, atLeast: "weak" }]);
  const rules: ChangeRule[] = [];
  const opening = byHeat ? "heat" : "cold";
  const closing = byHeat ? "cools and closes" : "warms and closes";
  rules.push({
    from: closedMask,
    to: openMask,
    words: plan.resets === "never" ? `${name} opens for good` : `${name} opens by ${opening}`,
    ...(byHeat && needs && needs.length > 0 ? { needs } : {}),
  });
  if (plan.resets === "self") {
    rules.push({
      from: openMask,
      to: closedMask,
      words: `${name} ${closing}`,
      ...(!byHeat && needs && needs.length > 0 ? { needs } : {}),
    });
  } else if (plan.resets === "hand") {
    rules.push({ from: openMask, to: closedMask, byHand: true, words: `press the reset of ${name}` });
  }
  return rules;
}

/**
 * Cold and hot: a PTC, which warms itself while fed at all and cools while it is not; or a part thrown by another's heat, which
 * warms while that works and cools while it does not (a flame that has lit keeps it hot, or goes out and lets it cool).
 */
export function heatRules(name: string, warmers: readonly LoadId[], atLeast: LoadTest["atLeast"]): ChangeRule[] {
  const tests = warmers.map((load): LoadTest => ({ load, atLeast }));
  const warm: ChangeRule = {
    from: closedMask,
    to: openMask,
    words: `${name} gets hot`,
    ...(tests.length > 0 ? { needs: tests.map((test) => [test]) } : {}),
  };
  const cool: ChangeRule = {
    from: openMask,
    to: closedMask,
    words: `${name} cools down`,
    ...(tests.length > 0 ? { unless: tests } : {}),
  };
  return [warm, cool];
}

/** Any position to any other, turned or thrown by a person. */
export function handRule(words: string, count: number): ChangeRule {
  return { from: maskAll(count), to: maskAll(count), byHand: true, words };
}

/** Rises and falls one level at a time: by itself while something fills or empties it, and by hand. */
export function levelRules(
  name: string,
  count: number,
  fillers: readonly LoadId[],
  emptiers: readonly LoadId[],
): ChangeRule[] {
  const lower = maskOf(
    count,
    Array.from({ length: count - 1 }, (_, i) => i),
  );
  const upper = maskOf(
    count,
    Array.from({ length: count - 1 }, (_, i) => i + 1),
  );
  const works = (loads: readonly LoadId[]) => loads.map((load): LoadTest[] => [{ load, atLeast: "works" }]);
  const rules: ChangeRule[] = [];
  if (fillers.length > 0) {
    rules.push({ from: lower, to: upper, by: 1, needs: works(fillers), words: `water in ${name} rises to {position}` });
  }
  if (emptiers.length > 0) {
    rules.push({
      from: upper,
      to: lower,
      by: -1,
      needs: works(emptiers),
      words: `water in ${name} falls to {position}`,
    });
  }
  rules.push({ from: lower, to: upper, by: 1, byHand: true, words: `fill ${name} by hand to {position}` });
  rules.push({ from: upper, to: lower, by: -1, byHand: true, words: `drain ${name} by hand to {position}` });
  return rules;
}
