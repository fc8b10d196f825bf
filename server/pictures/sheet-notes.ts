/** What stands in words above and below a drawing. */
import { formatQuantity } from "../../grammar/quantity.ts";
import { describeState, type Machine } from "../machine/index.ts";
import type { LiveState } from "./drawn-values.ts";
import type { NetworkGraph } from "./network-graph.ts";
import type { Section } from "./sections.ts";

export function supplyText({ supply }: Machine): string {
  const breaker = supply.breakerAmps === undefined ? "" : `, breaker ${formatQuantity(supply.breakerAmps, "current")}`;
  return supply.stated
    ? `${supply.text}${breaker.length > 0 && !supply.text.includes("breaker") ? breaker : ""}`
    : "supply not stated";
}

export function stateNote(machine: Machine, live: LiveState | undefined): string {
  if (!live) return "Drawn at rest: nothing touched, cold, empty.";
  return `State: ${describeState(machine, live.state)}. Heavy lines carry current, medium ones are live, thin ones are dead.`;
}

/** Broken at spaces, `most` letters a line. */
export function lines(text: string, most: number): string[] {
  const found: string[] = [];
  for (const word of text.split(" ")) {
    const last = found.at(-1);
    if (last !== undefined && last.length + word.length < most) found[found.length - 1] = `${last} ${word}`;
    else found.push(word);
  }
  return found;
}

/** Points on no symbol: frames, splices, pins, spare rails; one line for each connection. */
export function alsoJoined(
  machine: Machine,
  jointOf: Int32Array,
  graph: NetworkGraph,
): { readonly net: number; readonly text: string }[] {
  const shown = new Set(graph.pieces.flatMap(({ from, to }) => [from, to]));
  for (const { terminal } of machine.supply.legs) if (graph.rails.has(jointOf[terminal]!)) shown.add(terminal);
  const wired = new Set(machine.wires.flatMap(({ a, b }) => [a, b]));
  const drawnNets = new Map(graph.pieces.flatMap((p) => [[p.toNet, p.to] as const, [p.fromNet, p.from] as const]));
  const groups = new Map<number, number[]>();
  for (const { id } of machine.terminals)
    if (wired.has(id) && !shown.has(id)) groups.set(jointOf[id]!, [...(groups.get(jointOf[id]!) ?? []), id]);
  return [...groups].map(([net, terminals]) => {
    const with_ =
      graph.rails.get(net)?.name ?? (drawnNets.has(net) ? machine.terminals[drawnNets.get(net)!]!.fullName : undefined);
    const letters = [
      ...new Set(machine.wires.filter(({ a, colour }) => colour && jointOf[a] === net).map((w) => w.colour!)),
    ];
    const names = [...(with_ === undefined ? [] : [with_]), ...terminals.map((id) => machine.terminals[id]!.fullName)];
    const colours = with_ === undefined && letters.length > 0 ? ` (${letters.join(", ")})` : "";
    return { net, text: `Joined: ${names.join(", ")}${colours}` };
  });
}

/** `2-4, 6` for sections 2, 3, 4 and 6. */
export function numberList(numbers: readonly number[]): string {
  const runs: number[][] = [];
  for (const number of numbers) {
    const last = runs.at(-1);
    if (last && last.at(-1) === number - 1) last.push(number);
    else runs.push([number]);
  }
  return runs.map((run) => (run.length > 2 ? `${run[0]}-${run.at(-1)}` : run.join(", "))).join(", ");
}

/** Which sections there are, on each of their sheets. */
export function sectionsNote(sections: readonly Section[]): string {
  // Lines are broken between sections, not within one.
  return `Sections: ${sections.map(({ number, title }) => `${number} ${title}`.replaceAll(" ", "\u00a0")).join("; ")}.`;
}
