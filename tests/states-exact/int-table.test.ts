/** The table that recognises "the same thing again": equal keys have equal numbers, whatever the table held before and however it grew. */
import { expect, test } from "vitest";
import { Diagrams } from "../../server/states/exact/diagram.ts";
import { IntTable } from "../../server/states/exact/int-table.ts";

test("a key asked for again right after it was entered has its number, at every size", () => {
  const table = new IntTable();
  for (let key = 0; key < 5000; key++) {
    expect(table.intern([key, -key, key * key], 0, 3)).toBe(-1 - key);
    expect(table.intern([key, -key, key * key], 0, 3)).toBe(key);
    expect(table.find([key, -key, key * key])).toBe(key);
  }
  expect(table.size).toBe(5000);
});

test("equal sets of steps are one set, however many there are: what is in a set is its union with it", () => {
  const diagrams = new Diagrams(60);
  let number = 1;
  const random = () => {
    number = (Math.imul(number, 1103515245) + 12345) & 0x7fffffff;
    return number / 0x80000000;
  };
  for (let run = 0; run < 2000; run++) {
    const marks = Uint8Array.from({ length: 60 }, () => (random() < 0.5 ? 1 : 0));
    const set = diagrams.literal(0xffff, marks);
    expect(diagrams.literal(0xffff, marks)).toBe(set);
    const step = Math.floor(random() * 60);
    if (diagrams.hasStep(set, step)) expect(diagrams.or(set, diagrams.position(0xffff, step))).toBe(set);
  }
});
