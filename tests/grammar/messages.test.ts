/** What a person is told about unfinished or mistaken text: read aloud, each of these should help. */
import { describe, expect, test } from "vitest";
import { parse } from "../../grammar/parse.ts";
import { editDistance, nearestNames } from "../../grammar/suggest.ts";
import { errors } from "./support.ts";

const told = (text: string) => parse(text).errors.map((error) => `${error.what} ${error.advice}`);

test.each([
  ["haeter HT 5400 W 240 V", "`haeter` is not a word of the language. Write `heater`."],
  ["HT heater 5400 W", "No statement begins with `HT`. Did you mean `heater HT`?"],
  [
    "heater 5400 W",
    "Here the name of the heater is missing. Name it as the wiring sheet does: `heater HT 5400 W 240 V`.",
  ],
  ["heater HT 5400 watss", "`watss` means nothing as a unit. Did you mean `watts`?"],
  ["heater HT 5,4 kW", "A number has no comma. Write `5.4`."],
  [
    "lamp L strikes 65 A",
    "`65 A` is a current, which `strikes` does not take. `strikes` takes a voltage such as `240 V`.",
  ],
  ["wire L1-L2", "`L1-L2` is read as one name. Use `to` to join two points."],
  ["wire L1 -> L2", "`-` joins nothing here. Use `to` to join points."],
  ["wire L1 TM.C", "Here `to` is missing before this point. Join the points of a chain by `to`."],
  ["jumper A to", "Here the next point is missing. Name the point that the wire goes to: `to TM.C`."],
  [
    "expect E1 E2 E3 heats when DOOR shut",
    "An expectation speaks of one part, and `E2` is a second one. Write a line for each.",
  ],
  ["expect HT of when DOOR open", "`of` means nothing in an expectation. Did you mean `off` or `on`?"],
  [
    "expect HT off when DOOR",
    "Here the position of `DOOR` is missing. Say how it stands: `DOOR open`, `DOOR in low or high`.",
  ],
  [
    "thermostat CT opens closes 57 C",
    "`opens` is not finished: nothing that fits stands behind it. Write it as in `opens 68 C`.",
  ],
  ["supply 120/240 V braker 30 A", "`braker` means nothing in a `supply` line. Did you mean `breaker`?"],
  ["use parts.camleaf", 'Texts for people stand in quotes. Write `use "parts.camleaf"`.'],
  ["heater HT {", "The block of `heater HT` is not closed. Put a } at its end."],
  ["heater HT 5 W }", "This } closes nothing. Remove it, or put the { behind the line that starts the block."],
  [
    "heater HT senses HL",
    "`senses` is not said of a heater. It belongs to `thermostat`, `limit`, `link`, `overload`: the loads whose heat it feels.",
  ],
])("%s", (text, message) => expect(told(text)).toEqual([message]));

describe("positions without `or` are told, and read as what they mean", () => {
  const open = "selector SEL {\n positions off low high max\n";
  test.each([
    ["contact 1 to 2 in low high max rated 16 A 250 V", ["missing-or: high", "missing-or: max"], 3],
    ["contact 1 to 2 in low, high, max", ["missing-or: , high", "missing-or: , max"], 3],
    ["contact 1 to 2 in low / high", ["missing-or: / high"], 2],
    ["contact 1 to 2 closed in low high, open in off", ["missing-or: high"], 2],
    ["contact 1 to 2 in low rated 16 A 250 V", [], 1],
    ["contact 1 to 2 in low, rated 16 A 250 V", [], 1],
    // A slip of the finger is no position.
    ["contact 1 to 2 in low raetd 16 A 250 V", ["unexpected-word: raetd", "wrong-unit: 16 A", "wrong-unit: 250 V"], 1],
  ])("%s", (line, expected, count) => {
    const text = `${open} ${line}\n}`;
    expect(errors(text)).toEqual(expected);
    expect(JSON.stringify(parse(text)).match(/"text":"(low|high|max)"/g)).toHaveLength(count + 3);
  });

  test.each([
    ["expect HT heats when SEL in low high", ["missing-or: high"]],
    ["heater HT 5 W guarded by SEL in low high", ["missing-or: high"]],
    ["expect HT heats when SEL in low, DOOR shut", []],
    // Two parts: what is missing is a comma, not `or`.
    ["expect HT heats when SEL low DOOR shut", ["unexpected-word: DOOR shut"]],
  ])("%s", (text, expected) => expect(errors(text)).toEqual(expected));

  test("what is offered puts the `or` in", () => {
    const fixed = (line: string) => {
      const text = `${open} ${line}\n}`;
      const [error] = parse(text).errors;
      return text.slice(0, error!.from) + error!.suggestions![0] + text.slice(error!.to);
    };
    expect(fixed("contact 1 to 2 in low high")).toContain("in low or high");
    expect(fixed("contact 1 to 2 in low, high")).toContain("in low or high");
  });
});

describe("one mistake, one message, at its own place", () => {
  test.each([
    ['heater HT "dry coil', ['open-label: "dry coil']],
    ["}", ["extra-brace: }"]],
    ["", []],
    ["# only a remark", []],
    ["timer TM {\n contct A to B\n contact heat C to D\n}", ["unknown-word: contct"]],
    ["timer TM {\n motor M1 to M2 2 W 120 V\n contact A to B\n}\nmotor DM 120 V", ["unknown-word: motor"]],
    ["switch S 1 to 2 rated 16(4 A 250 V", ["unfinished: 4"]],
    ["foo bar baz\nheater HT 5 W", ["unknown-statement: foo"]],
    ["motor M { speed-switch {\n contact 6 to 3 whlie stopped\n} }", ["unexpected-word: whlie"]],
  ])("%s", (text, expected) => expect(errors(text)).toEqual(expected));

  test("a chart row of the wrong length, a cell that is none", () => {
    const text = "timer TM { chart 5 min per step {\n steps off 1 run 3\n heat -XX\n x -XXO\n} }";
    expect(errors(text)).toEqual(["chart-row-length: heat -XX", "chart-cell: O"]);
  });
});

describe("braces that were not typed", () => {
  const names = (text: string) =>
    parse(text).statements.map((one) => (one.statement === "part" ? one.name?.text : one.statement));
  test("a block left open ends before the next statement", () => {
    const text =
      "timer TM {\n  contact A to B\n  chart 5 min per step {\n    steps off 1 run 3\n    heat -XXX\nheater HT 5 W\nwire A to B";
    expect(names(text)).toEqual(["TM", "HT", "wire"]);
    expect(errors(text)).toEqual(["missing-brace: {", "missing-brace: {"]);
  });
  test("a proposal left open ends where the lines go back to the margin", () => {
    expect(names('proposal "x" {\n  jumper A to B\nwire C to D\nheater HT 5 W')).toEqual(["proposal", "wire", "HT"]);
  });
  test("a { left out is supplied where the block plainly begins", () => {
    const text = "motor DM 120 V\n  winding main 4 to 5\n  frame\n}\nwire A to B";
    expect(names(text)).toEqual(["DM", "wire"]);
    expect(errors(text)).toEqual(["missing-brace: V"]);
  });
});

describe("nearest names", () => {
  test("letters left out, put in, replaced, swapped", () => {
    expect(editDistance("heater", "haeter")).toBe(1);
    expect(editDistance("heater", "heatr")).toBe(1);
    expect(editDistance("heater", "hearer")).toBe(1);
    expect(editDistance("kitten", "sitting")).toBe(3);
    expect(editDistance("a", "abcdefgh")).toBe(5);
  });
  test("four at most, the same word in other case first", () => {
    expect(nearestNames("ht", ["HT", "H2", "HL", "H3", "H4", "DM"])).toEqual(["HT", "H2", "H3", "H4"]);
    expect(nearestNames("DRUM", ["COIL", "FAN"])).toEqual([]);
    expect(nearestNames("E", ["A", "B", "e", "E1"])).toEqual(["e", "E1"]);
  });
});
