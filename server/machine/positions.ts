/** Which positions of a control the text means: names, step groups with numbers, plain numbers, and the trade's other words. */
import type { PositionNode } from "../../grammar/tree.ts";
import { maskCount } from "./condition-algebra.ts";
import type { Control } from "./machine.ts";

/** Other words for the positions that the tool itself names, by role. */
const otherWords: Readonly<Partial<Record<Control["role"], Readonly<Record<string, readonly string[]>>>>> = {
  supply: { on: ["on", "plugged"], off: ["off", "unplugged"] },
  thermal: { closed: ["closed", "made", "intact"], open: ["open", "tripped", "blown"] },
  push: { pressed: ["pressed", "held"], released: ["released"] },
  relay: {
    "pulled-in": ["energised", "energized", "pulled-in", "on", "alive"],
    "dropped-out": ["dropped-out", "de-energised", "de-energized", "off", "dead"],
    alive: ["alive", "on", "energised", "energized"],
    dead: ["dead", "off"],
  },
  valve: { open: ["open", "on"], shut: ["shut", "closed", "off"] },
  motor: {
    stopped: ["stopped", "still", "off"],
    hums: ["hums", "humming"],
    running: ["running", "runs", "turning"],
    "running left": ["running", "runs", "turning", "running left", "left"],
    "running right": ["running", "runs", "turning", "running right", "right"],
  },
  "heat-memory": { cold: ["cold"], hot: ["hot", "warm"] },
  cycle: { on: ["on", "closed"], off: ["off", "open"] },
};

function called(control: Control, index: number, word: string): boolean {
  const position = control.positions[index]!;
  if (position.name === word || position.group === word) return true;
  return otherWords[control.role]?.[position.name]?.includes(word) ?? false;
}

/** Mask of the positions that one node means, all zero when it means none. */
export function positionMask(control: Control, node: PositionNode): Uint8Array {
  const mask = new Uint8Array(control.positions.length);
  const word = node.name?.text;
  if (word === undefined) {
    if (node.first === undefined) return mask;
    // A position may itself be called by a number (`positions 1 2 3`); else numbers count the steps from 1.
    const named = control.positions.findIndex((position) => position.name === String(node.first));
    const last = node.last ?? node.first;
    if (named >= 0) for (let n = node.first; n <= last; n++) markNamed(control, String(n), mask);
    else for (let n = node.first; n <= last; n++) if (n >= 1 && n <= mask.length) mask[n - 1] = 1;
    return mask;
  }
  for (let index = 0; index < mask.length; index++) {
    if (!called(control, index, word)) continue;
    if (node.first !== undefined) {
      const number = control.positions[index]!.number ?? 1;
      if (number < node.first || number > (node.last ?? node.first)) continue;
    }
    mask[index] = 1;
  }
  return mask;
}

function markNamed(control: Control, name: string, mask: Uint8Array): void {
  control.positions.forEach((position, index) => {
    if (position.name === name) mask[index] = 1;
  });
}

/** True when the control knows the word of the node at all (its number may still be out of range). */
export function knowsWord(control: Control, node: PositionNode): boolean {
  const word = node.name?.text;
  if (word === undefined) return maskCount(positionMask(control, node)) > 0;
  return control.positions.some((_, index) => called(control, index, word));
}

/** Words to choose from, for messages and nearest names: groups once, positions otherwise. */
export function positionWords(control: Control): string[] {
  return [...new Set(control.positions.map((position) => position.group ?? position.name))];
}

/** Range of numbers of a step group, for messages. */
export function groupSize(control: Control, group: string): number {
  return control.positions.filter((position) => position.group === group).length;
}
