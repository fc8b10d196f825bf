/** Formatting a range and while typing. What the formatter makes of a text is tested in tests/grammar. */
import { describe, expect, test } from "vitest";
import { applyEdits } from "../../grammar/format.ts";
import { parse } from "../../grammar/parse.ts";
import { formatRange, formatTyped } from "../../server/editor/formatting.ts";

describe("part of a text", () => {
  const text = "wire   A.1 to B\nswitch S {\npositions   on off\ncontact   1 to 2 in on\n}\nwire   C to D\n";

  test("a range formats the lines it touches", () => {
    const from = text.indexOf("positions");
    expect(applyEdits(text, formatRange(parse(text), from + 2, from + 4))).toBe(
      text.replace("positions   on off", "  positions on off"),
    );
  });

  test("a closing brace formats its block", () => {
    const at = text.indexOf("}") + 1;
    expect(applyEdits(text, formatTyped(parse(text), at, "}"))).toBe(
      "wire   A.1 to B\nswitch S {\n  positions on off\n  contact 1 to 2 in on\n}\nwire   C to D\n",
    );
    expect(formatTyped(parse('note A "}"'), 9, "}")).toEqual([]);
  });

  test("a line break formats the line it ends and indents the new one", () => {
    const at = text.indexOf("contact");
    const typed = `${text.slice(0, at)}\n${text.slice(at)}`;
    expect(applyEdits(typed, formatTyped(parse(typed), at, "\n"))).toBe(
      text.replace("positions   on off\n", "  positions on off\n  \n"),
    );
    // Blank lines that somebody is just making stay.
    const blank = "wire A to B\n\n\nwire C to D\n";
    expect(formatTyped(parse(blank), 14, "\n")).toEqual([]);
  });
});
