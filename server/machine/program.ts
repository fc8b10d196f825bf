/** Timer programs: how the dial goes on, and who may turn it. */
import { resolveOwn } from "./binding.ts";
import type { Chart } from "./chart.ts";
import { maskAll } from "./condition-algebra.ts";
import type { Draft, PartDraft } from "./draft.ts";
import type { ChangeRule, LoadId, LoadTest } from "./machine.ts";
import { conditionOf, propertyNamed } from "./properties.ts";

/** Adds a program for each chart, and the rules of its control once all parts are known. */
export function buildProgram(
  draft: Draft,
  part: PartDraft,
  charts: readonly Chart[],
  drive: LoadId | undefined,
  feeds: readonly LoadId[],
): void {
  for (const chart of charts) {
    const { node, file } = chart.source;
    draft.programs.push({
      part: part.id,
      control: chart.control,
      drive,
      seconds: chart.seconds,
      rows: [...chart.rows].map(([name, { cells, row }]) => ({ name, cells, place: draft.place(row, file) })),
      repeats: chart.repeats,
      place: draft.place(node, file),
    });
    draft.later(() => bindRules(draft, part, chart, drive, feeds), 1);
  }
}

/** A dial comes round: behind the last step stands the first. Boards without a drive step by themselves while fed. */
function bindRules(
  draft: Draft,
  part: PartDraft,
  chart: Chart,
  drive: LoadId | undefined,
  feeds: readonly LoadId[],
): void {
  const control = draft.controls[chart.control]!;
  const all = maskAll(control.positions.length);
  const tests: LoadTest[] =
    drive !== undefined ? [{ load: drive, atLeast: "works" }] : feeds.map((load) => ({ load, atLeast: "works" }));
  const waits = propertyNamed(part.items, "waits for");
  const waitNode = conditionOf(waits?.node);
  const when = waits && waitNode ? resolveOwn(draft, part, waitNode, waits.file) : undefined;
  const name = control.name;
  const rules: ChangeRule[] = [];
  if (part.kind !== "selector") {
    rules.push({
      from: all,
      to: all,
      by: 1,
      words: `${name} advances to {position}`,
      ...(tests.length > 0 ? { needs: tests.map((test) => [test]) } : {}),
      ...(when ? { when } : {}),
    });
  }
  if (control.role !== "fast-cam") {
    const hand = propertyNamed(part.items, "turned by hand");
    const forward = propertyNamed(part.items, "forward only");
    const node = conditionOf(hand?.node) ?? conditionOf(forward?.node);
    const allowed = node ? resolveOwn(draft, part, node, (hand ?? forward)!.file) : undefined;
    rules.push({
      from: all,
      to: all,
      byHand: true,
      words: `turn ${name} to {position}`,
      ...(forward ? { by: 1 as const } : {}),
      ...(allowed ? { when: allowed } : {}),
    });
  }
  control.changes = rules;
}
