/** A part under another name, with all that carries its name. */
import type { Machine, Part } from "../machine/machine.ts";

export function renamed(machine: Machine, part: Part, name: string): Machine {
  const own = (text: string): string => renamedText(text, part.name, name);
  const each = <T extends { readonly part: number; readonly name: string }>(all: readonly T[]): T[] =>
    all.map((one) => (one.part === part.id ? { ...one, name: own(one.name) } : one));
  return {
    ...machine,
    parts: machine.parts.map((one) => (one.id === part.id ? { ...one, name } : one)),
    terminals: machine.terminals.map((one) => (one.part === part.id ? { ...one, fullName: own(one.fullName) } : one)),
    contacts: each(machine.contacts),
    loads: each(machine.loads),
    controls: each(machine.controls),
  };
}

/** `TM` and `TM.C` become `T1` and `T1.C`; other names stay. */
export function renamedText(text: string, from: string, to: string): string {
  return text === from ? to : text.startsWith(`${from}.`) ? to + text.slice(from.length) : text;
}
