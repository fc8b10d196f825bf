/** What could be read two ways, and how it is read. */
import { describe, expect, test } from "vitest";
import type { ConditionNode, ContactItem } from "../../grammar/tree.ts";
import { clean, errors, item, only, part } from "./support.ts";

const ends = (contact: ContactItem) => [
  contact.name?.text,
  contact.common?.text,
  ...contact.throws.map((name) => name.text),
];
const said = (condition: ConditionNode | undefined) =>
  condition?.clauses.map((clause) =>
    clause.map((term) => [
      [term.subject?.part?.text, term.subject?.terminal?.text].filter(Boolean).join("."),
      ...term.positions.map((position) =>
        [position.name?.text, position.first, position.last].filter((x) => x !== undefined).join(" "),
      ),
    ]),
  );

describe("unit letters are names where a name is wanted", () => {
  test("terminals called A, C, V, N, W, F", () => {
    expect(ends(item("timer TM { contact V to W rated 5 A 125 V }", "contact"))).toEqual([undefined, "V", "W"]);
    expect(ends(item("timer TM { contact A to C in run }", "contact"))).toEqual([undefined, "A", "C"]);
    const wire = only("wire A.C to F.V to N", "wire");
    expect(wire.links.map((link) => `${link.part?.text}.${link.terminal?.text}`)).toEqual([
      "A.C",
      "F.V",
      "N.undefined",
    ]);
  });
  test("terminals that begin with a digit", () => {
    const contact = item("timer TM { contact 1A to 2B rated 5A 125V }", "contact");
    expect(ends(contact)).toEqual([undefined, "1A", "2B"]);
    expect(contact.rating?.points[0]?.current?.value).toBe(5);
    expect(contact.rating?.points[0]?.voltage?.value).toBe(125);
  });
});

describe("numbers", () => {
  test("terminals against quantities", () => {
    const heater = part("heater HT 1 to 2 5400 W 240 V");
    expect(heater.items.map((one) => one.item)).toEqual(["contact", "quantity", "quantity"]);
    expect(ends(heater.items[0] as ContactItem)).toEqual([undefined, "1", "2"]);
  });
  test("a range of temperatures against two terminals", () => {
    expect(item("link TL 65 to 71 C", "quantity").quantity).toMatchObject({
      value: 65,
      upper: 71,
      dimension: "temperature",
    });
    expect(ends(item("link TL 65 to 71 rated 5 A 250 V", "contact"))).toEqual([undefined, "65", "71"]);
  });
  test("a fraction of a horsepower against two voltages: the unit decides", () => {
    expect(item("motor M 1/3 hp", "quantity").quantity.value).toBeCloseTo(745.699872 / 3, 9);
    expect(item("motor M 1 1/2 hp", "quantity").quantity.value).toBeCloseTo(745.699872 * 1.5, 9);
    expect(only("supply 120/240 V 60 Hz", "supply").quantities[0]).toMatchObject({ value: 120, alternatives: [240] });
    expect(item("switch S rated 15 A 120/240 V", "rated").rating.points[0]?.voltage).toMatchObject({
      value: 120,
      alternatives: [240],
    });
  });
  test("round brackets: motor current in a rating, way through in a chain", () => {
    const [point] = item("switch S rated 16(4) A 250 V", "rated").rating.points;
    expect([point?.current?.value, point?.motorCurrent?.value, point?.voltage?.value]).toEqual([16, 4, 250]);
    const [, through] = only("wire TM.D to DM(2 1) to L2", "wire").links;
    expect([through?.part?.text, through?.enter?.text, through?.leave?.text]).toEqual(["DM", "2", "1"]);
  });
  test("steps 3..8 of a group", () => {
    const expectation = only("expect HT heats when TM in timed 3..8 or auto 2", "expect");
    expect(said(expectation.when)).toEqual([[["TM", "timed 3 8", "auto 2 2"]]]);
  });
  test("rating points: with `or`, stamped one behind the other, with hp, with a code", () => {
    const points = (text: string) => item(`switch S rated ${text}`, "rated").rating.points.length;
    expect(points("15 A 125 V or 7.5 A 250 V")).toBe(2);
    expect(points("15 A 125 V 7.5 A 250 V")).toBe(2);
    expect(points("15 A 1/2 hp 125 V")).toBe(1);
    expect(points("10 A 250 V or 1/3 hp 125 V or pilot duty B300")).toBe(3);
  });
});

describe("charts", () => {
  const chart = (rows: string) => item(`timer TM {\n chart 5 min per step {\n${rows}\n }\n}`, "chart");
  test("cells are cells whatever token they look like", () => {
    const found = chart("steps off 1 run 4 rest 1\nheat - XX-~ -\nadv - 1212 -\n2 -X1-2-");
    expect(found.rows.map((row) => [row.name.text, row.cells.map((cell) => cell.text).join("")])).toEqual([
      ["heat", "-XX-~-"],
      ["adv", "-1212-"],
      ["2", "-X1-2-"],
    ]);
  });
  test("rows named by a statement word, by X, by terminals", () => {
    const found = chart("steps off 1 run 2\nmotor - XX\nX -XX\n1-4 122\nwire X--");
    expect(found.rows.map((row) => row.name.text)).toEqual(["motor", "X", "1-4", "wire"]);
  });
  test("a chart wrapped over two stretches of steps", () => {
    const found = chart("steps off 1 run 2\nheat -XX\nsteps cool 2\nheat X-");
    expect(found.rows.map((row) => row.cells.length)).toEqual([5]);
  });
  test("unequal steps", () => {
    expect(chart("steps off 1 spin 2 of 45 s\nx -XX").steps[1]).toMatchObject({ count: 2, perStep: { value: 45 } });
  });
});

describe("wires", () => {
  test("colour, size, insulation and length behind a chain", () => {
    const wire = only("wire L1 to R to W  W/BK 10 AWG 150 C 1.2 m", "wire");
    expect(wire.links.map((link) => link.part?.text)).toEqual(["L1", "R", "W"]);
    expect([wire.colour?.text, wire.size?.text, wire.insulation?.value, wire.length?.value]).toEqual([
      "W/BK",
      "10 AWG",
      150,
      1.2,
    ]);
  });
  test("a half-typed wire does not swallow the next statement", () => {
    for (const half of [
      "wire",
      "wire L1",
      "wire L1 to",
      "wire L1 to TM.",
      "wire L1 to TM.C BK",
      "wire L1 to TM.C BK 10",
      "wire L1 to DM(",
    ]) {
      expect(
        errors(`${half}\nheater HT 5400 W`).every((one) => !one.includes("heater")),
        half,
      ).toBe(true);
    }
  });
  test("a named wire", () => {
    expect(only("wire W12 L1 to TM.C", "wire")).toMatchObject({ name: { text: "W12" }, links: [{}, {}] });
  });
  test("stamps that are no word stand in quotes", () => {
    expect(only('wire BR."-" to N', "wire").links[0]?.terminal?.text).toBe("-");
  });
});

describe("keywords used as names", () => {
  test("a contact called run, a position called off, a part called heater", () => {
    expect(ends(item("timer TM { contact run A to B }", "contact"))).toEqual(["run", "A", "B"]);
    expect(ends(item("timer TM { contact wire contact to open }", "contact"))).toEqual(["wire", "contact", "open"]);
    const names = item("selector S { positions off set on timer }", "positions").names.map((name) => name.text);
    expect(names).toEqual(["off", "set", "on", "timer"]);
    expect(part("heater heater 5400 W").name?.text).toBe("heater");
    expect(only("wire wire.to to note.when", "wire").links.map((link) => link.terminal?.text)).toEqual(["to", "when"]);
  });
  test("positions on one line end at the next item", () => {
    const door = part("switch DOOR positions shut open contact 1 to 2 in shut");
    expect(door.items.map((one) => one.item)).toEqual(["positions", "contact"]);
  });
});

describe("conditions", () => {
  test("comma is and, `or` joins positions, `or when` joins clauses", () => {
    const text = "expect DM runs when TM in timed or auto, DOOR shut or when TM in spin";
    expect(said(only(text, "expect").when)).toEqual([
      [
        ["TM", "timed", "auto"],
        ["DOOR", "shut"],
      ],
      [["TM", "spin"]],
    ]);
  });
  test("a `when` does not swallow the next statement", () => {
    const tree = clean(
      'findings "x" {\n when TM in spin, LID shut\n heard DM hums\n}\nexpect HT off when DOOR open\nwire A to B',
    );
    expect(tree.statements.map((one) => one.statement)).toEqual(["findings", "expect", "wire"]);
    expect(errors("expect HT off when\nwire A to B")).toEqual(["unfinished: when"]);
    expect(errors("expect HT off when DOOR open,\nwire A to B")).toEqual(["unfinished: ,"]);
  });
  test("conditions about the part itself", () => {
    const contact = item(
      "motor M { speed-switch {\n contact 6 to 3 while stopped\n contact 7 to 1 while running left, else 2 rated 5 A 125 V\n} }",
      "speed-switch",
    );
    expect(contact.contacts.map((one) => said(one.while))).toEqual([[[["", "stopped"]]], [[["", "running left"]]]]);
    expect(ends(contact.contacts[1]!)).toEqual([undefined, "7", "1", "2"]);
    expect(said(item("level WL { contact C to E below set, else F }", "contact").while)).toEqual([[["", "below set"]]]);
  });
  test("a one-liner names both positions", () => {
    const contact = item("switch LINE 1 to 2 closed in on, open in off rated 10 A 250 V", "contact");
    expect([contact.positions?.[0]?.name?.text, contact.openPositions?.[0]?.name?.text]).toEqual(["on", "off"]);
    expect(contact.rating?.points.length).toBe(1);
  });
});

describe("statements over several lines, several machines", () => {
  test("a statement goes on on the next line when no statement word begins it", () => {
    const tree = clean("wire L1\n  to TM.C\n  to N BK\nheater HT\n  5400 W\n  240 V");
    expect(tree.statements.length).toBe(2);
  });
  test("each `machine` line starts one", () => {
    const tree = clean(
      'type Q7 timer { contact A to B }\nmachine "one"\ntimer TM of type Q7\nmachine "two"\ntimer TM of type Q7',
    );
    expect(tree.statements.map((one) => one.statement)).toEqual(["type", "machine", "part", "machine", "part"]);
  });
});
