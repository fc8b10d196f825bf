/** Within a condition: names of controls, then their positions. */
import type { Control, Machine } from "../machine/machine.ts";
import type { Choice } from "./completion.ts";
import { controlNames } from "./completion-names.ts";
import type { Sentence } from "./sentence.ts";

const openers = new Set(["when", "while", "after", "guarded"]);

/** Undefined when the caret is in no condition. */
export function conditionChoices(machine: Machine, { before, block }: Sentence): Choice[] | undefined {
  const words = before.map(({ text }) => text);
  const last = words.at(-1)!;
  const opener = words.findLastIndex((word) => openers.has(word));
  const named = (name: string | undefined) => machine.controls.find((control) => control.name === name);

  // `contact 1 to 2 in shut`, `rests in off`: positions of the part itself.
  const own = named(block.part ?? (words[1] !== undefined ? words[1] : undefined));
  if (opener < 0) {
    if (["in", "closed", "below", "above", "made"].includes(last) || (last === "or" && words.includes("in"))) {
      const subject = subjectBefore(machine, words.slice(0, -1));
      const control = subject ?? own;
      return control ? positionChoices(control) : undefined;
    }
    return undefined;
  }
  if (words[opener] === "while") {
    const control =
      own ?? machine.controls.find(({ part, settled }) => settled && machine.parts[part]!.name === block.part);
    if (opener === words.length - 1)
      return [
        ...["running", "stopped", "energised"].map((label): Choice => ({ label, kind: "position", rank: 1 })),
        ...(control ? positionChoices(control) : []),
        ...controlNames(machine),
      ];
  }
  const within = words.slice(opener + 1);
  const tail = within.at(-1);
  if (tail === undefined || tail === "," || tail === "by" || (tail === "when" && within.at(-2) === "or"))
    return controlNames(machine);
  if (tail === "in" || tail === "or") {
    const control = subjectBefore(machine, within);
    return control ? positionChoices(control) : controlNames(machine);
  }
  const control = named(tail);
  if (control) {
    const plain = control.positions.length <= 2 || control.role === "motor";
    const positions = positionChoices(control);
    return plain
      ? positions
      : [{ label: "in", kind: "word", rank: 0 }, ...positions.map((one) => ({ ...one, insert: `in ${one.label}` }))];
  }
  if (words[opener] === "when" || words[opener] === "guarded" || words[opener] === "after")
    return [
      { label: ",", kind: "word", detail: "and", insert: ", ", rank: 1 },
      { label: "or", kind: "word", detail: "another position", rank: 1 },
      { label: "or when", kind: "word", detail: "another way for the whole", rank: 2 },
    ];
  return undefined;
}

/** The control that the positions being written belong to. */
function subjectBefore(machine: Machine, words: readonly string[]): Control | undefined {
  for (let index = words.length - 1; index >= 0; index--) {
    const control = machine.controls.find(({ name }) => name === words[index]);
    if (control) return control;
    if (words[index] === "," || words[index] === "when") return undefined;
  }
  return undefined;
}

/** Groups of steps first, then single positions. */
export function positionChoices({ name, positions }: Control): Choice[] {
  const groups = [...new Set(positions.flatMap(({ group }) => (group === undefined ? [] : [group])))];
  const counted = (group: string) => positions.filter((one) => one.group === group).length;
  const whole = groups
    .filter((group) => counted(group) > 1)
    .map((group): Choice => ({ label: group, kind: "position", detail: `${name}, ${counted(group)} steps`, rank: 0 }));
  const single = positions.map(
    (one): Choice => ({ label: one.name, kind: "position", detail: name, rank: one.group === undefined ? 0 : 1 }),
  );
  return [...whole, ...single];
}
