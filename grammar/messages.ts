/** Messages of the parser, in the trade's words: what is wrong, what to do. */
import type { Habit } from "./habits.ts";
import { orList } from "./suggest.ts";
import type { Dimension, SyntaxError as TextError } from "./tree.ts";
import { dimensionNames } from "./units.ts";

const quoted = (names: readonly string[]) => orList(names.map((name) => `\`${name}\``));

/** A word that is nothing, taken for the nearest one. */
export function misspelt(from: number, to: number, word: string, near: readonly string[]): TextError {
  return {
    from,
    to,
    id: "unknown-word",
    what: `\`${word}\` is not a word of the language.`,
    advice:
      near.length > 0
        ? `Write ${quoted(near)}.`
        : "Start the line with a kind of part, `wire`, or another statement word.",
    suggestions: near,
  };
}

/** A timer's own motor under the word for a part. */
export function motorOfTimer(from: number, to: number): TextError {
  return {
    from,
    to,
    id: "unknown-word",
    what: "A timer's own motor is not written `motor`.",
    advice: "Write `drive`, as in `drive M1 to M2 120 V 2.5 W`.",
    suggestions: ["drive"],
  };
}

export function unexpectedWord(
  from: number,
  to: number,
  word: string,
  where: string,
  near: readonly string[],
): TextError {
  return {
    from,
    to,
    id: "unexpected-word",
    what: `\`${word}\` means nothing ${where}.`,
    advice:
      near.length > 0
        ? `Did you mean ${quoted(near)}?`
        : "Remove it, or put it in quotes when it is a label for people.",
    ...(near.length > 0 ? { suggestions: near } : {}),
  };
}

export function missing(from: number, to: number, what: string, advice: string): TextError {
  return { from, to, id: "unfinished", what, advice };
}

/** The same for what people write from habit, which the language says otherwise. */
export function fromHabit(from: number, to: number, id: string, what: string, habit: Habit): TextError {
  const { write, advice } = habit;
  return { from, to, id, what, advice, ...(write === undefined ? {} : { suggestions: [write] }) };
}

/** `a temperature (such as 68 C) or a current (such as 5.2 A)`. */
export function dimensionList(dimensions: readonly Dimension[]): string {
  return orList(
    dimensions.map((dimension) => `${dimensionNames[dimension].name} such as \`${dimensionNames[dimension].example}\``),
  );
}

export function wrongUnit(
  from: number,
  to: number,
  written: string,
  dimension: Dimension | undefined,
  owner: string,
  expected: readonly Dimension[],
): TextError {
  const is =
    dimension && dimension !== "count"
      ? ` is ${dimensionNames[dimension].name}, which ${owner} does not take`
      : " has no unit";
  const difference = dimension === "temperature" && expected.includes("temperature-difference");
  return {
    from,
    to,
    id: "wrong-unit",
    what: `\`${written}\`${is}.`,
    advice: difference
      ? "Write a difference in `K` or `F deg`; converted as a temperature it would be wrong."
      : expected.length > 0
        ? `${owner.charAt(0).toUpperCase()}${owner.slice(1)} takes ${dimensionList(expected)}.`
        : "Remove the value.",
  };
}
