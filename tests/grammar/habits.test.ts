/**
 * What people write from habit: each is told with the language's own word, and where one is offered, putting it in mends the line.
 * The habits are common practice, no published source.
 */
import { describe, expect, test } from "vitest";
import { parse } from "../../grammar/parse.ts";

/** The text with the first suggestion of its first error put in; errors that are left. */
function mended(text: string): { readonly text: string; readonly left: readonly string[] } {
  const [error] = parse(text).errors;
  const [suggestion] = error?.suggestions ?? [];
  if (!error || suggestion === undefined) return { text, left: ["nothing is offered"] };
  const now = text.slice(0, error.from) + suggestion + text.slice(error.to);
  return { text: now, left: parse(now).errors.map(({ id, what }) => `${id}: ${what}`) };
}

/** A timer with a chart of one row. */
function chart(row: string, steps = "off 3 on 2"): string {
  return `timer TM {\n  contact run A to B\n  chart 5 min per step {\n    steps ${steps}\n    ${row}\n  }\n}`;
}

/** What all errors advise. */
const advice = (text: string) =>
  parse(text)
    .errors.map((error) => error.advice)
    .join(" ");

describe("words of the trade that the language says otherwise, each mended by what is offered", () => {
  test.each([
    ["element HT 1200 W 120 V", "heater HT 1200 W 120 V"],
    ["solenoid WV 120 V 10 W", "valve WV 120 V 10 W"],
    ["thermal fuse TF 91 C", "link TF 91 C"],
    ["led PL 120 V 1 W", "lamp PL 120 V 1 W"],
    ["button START rated 5 A 125 V", "push START rated 5 A 125 V"],
    ["lead L1 to TM.C", "wire L1 to TM.C"],
    ["// a remark", "# a remark"],
    ["-- a remark", "# a remark"],
    ["motor DM {\n  main winding 4 to 5\n}", "motor DM {\n  winding main 4 to 5\n}"],
    ["relay K coil 120 V 2 W contact 1 to 3 NO", "relay K coil 120 V 2 W contact 1 to 3 normally open"],
    ["push STOP NC", "push STOP normally closed"],
    ["switch S 1 to 2 closed in on rating 15 A 125 V", "switch S 1 to 2 closed in on rated 15 A 125 V"],
    ["selector SEL low med high", "selector SEL positions low med high"],
    ["heater HT 1200W/120V", "heater HT 1200W 120V"],
    ["expect HT off if DOOR open", "expect HT off when DOOR open"],
    ["wire L1 to TM:C", "wire L1 to TM.C"],
    ["supply 120/240 V 30 A", "supply 120/240 V breaker 30 A"],
    ["motor DM 120 V FLA 5 A", "motor DM 120 V runs 5 A"],
    ["motor DM 120 V LRA 26 A", "motor DM 120 V locked rotor 26 A"],
    ["timer TM {\n  contact run A-B rated 15 A 125 V\n}", "timer TM {\n  contact run A to B rated 15 A 125 V\n}"],
    [chart("run OOOXX"), chart("run ---XX")],
    [chart("run: ---XX"), chart("run ---XX")],
    [chart("run ---XX", "1 2 3 4 5"), chart("run ---XX", "step 5")],
    ["timer TM { chart 30 s/step { steps a 1 } }", "timer TM { chart 30 s per step { steps a 1 } }"],
    ["note HT new coil", 'note HT "new coil"'],
    ["note HT photo coil.jpg", 'note HT photo "coil.jpg"'],
    ["expect HT never heats when DOOR open", "expect HT off when DOOR open"],
    ['findings "x" {\n  ohms HT.1 to HT.2 infinite\n}', 'findings "x" {\n  ohms HT.1 to HT.2 open\n}'],
    ['findings "x" {\n  volts HT.1 to HT.2: 0\n}', 'findings "x" {\n  volts HT.1 to HT.2 0\n}'],
    ['proposal "x" {\n  replace HT with heater 900 W\n}', 'proposal "x" {\n  replace HT by heater 900 W\n}'],
  ])("%s", (written, right) => {
    expect(mended(written)).toEqual({ text: right, left: [] });
  });
});

describe("read as it is meant", () => {
  test.each([
    "thermostat CT opens at 155 F closes at 135 F rated 25 A/240 V",
    "wire L1 to TM.A bk 14 ga",
    "wire L1 to TM.A Black 14 gauge",
    "expect HT is off when DOOR is open",
    "switch S 1 to 2 closed in on rated 15A/125VAC or 7.5A/250VAC",
    "resistor R1 4.7k 5W",
    "capacitor C1 0.1 µf 250V",
    chart("run | --- | XX", "| off 3 | on 2"),
    'findings "x" {\n  ohms HT.1 to HT.2 OL\n}',
  ])("%s", (text) => expect(parse(text).errors).toEqual([]));

  test("a rating with a stroke is one point of current and voltage each", () => {
    const [part] = parse("push S rated 15A/125VAC or 7.5A/250VAC").statements;
    const rated = part?.statement === "part" ? part.items.find((item) => item.item === "rated") : undefined;
    expect(
      rated?.item === "rated" && rated.rating.points.map(({ current, voltage }) => [current?.value, voltage?.value]),
    ).toEqual([
      [15, 125],
      [7.5, 250],
    ]);
  });
});

describe("told where nothing can be put in", () => {
  test.each([
    ["wire L1 to DL, TM.A", "write a line of its own: `wire L1 to ...`"],
    ["lamp DL 'drum lamp'", "double quotes"],
    ['proposal "x" {\n  bypass DOOR\n}', "`jumper DOOR.1 to DOOR.2`"],
    ['proposal "x" {\n  HT to 900 W\n}', "`change HT to 900 W`"],
    [chart("run on 1..3"), "X for closed"],
    ["plug P1", "Say it on the supply's line"],
    ["supply 208 V 3 phase", "One or two live legs are"],
    ["supply L1 L2 N 120/240 V", "Leave them out"],
    ["switch DOOR 1 to 2 NO", "Say in which positions it is closed"],
    ["switch S 1 to 2 closed in on element 3 to 4", "It belongs to `heater`"],
  ])("%s", (text, words) => expect(advice(text)).toContain(words));
});

test("a line under a foreign word costs no line beside it", () => {
  const text = "heater HT 1200 W 120 V\nsolenoid WV 120 V\n// of the door\nwire L to HT\n/* more */\nwire HT to N";
  expect(parse(text).statements.map(({ statement }) => statement)).toEqual(["part", "wire", "wire"]);
  expect(parse(text).errors.map(({ from, to }) => text.slice(from, to))).toEqual(["solenoid", "//", "/*"]);
});

test("a chain or a list that goes on in the next line is no line of its own", () => {
  for (const text of ["wire L1 to\nTM.C", "wire L1 to TM.C\nBK 14 AWG", "expect HT off when DOOR open,\nTM off"])
    expect(parse(text).errors).toEqual([]);
});
