/** No text whatever makes the resolver throw, and half-typed text keeps what is whole. */
import { readdirSync, readFileSync } from "node:fs";
import fc from "fast-check";
import { expect, test } from "vitest";
import { parse } from "../../grammar/parse.ts";
import { type ResolvedFile, resolveFile } from "../../server/machine/index.ts";

const folders = ["samples", "samples/ideas", "tests/language/cases"];
const texts = folders.flatMap((folder) =>
  readdirSync(folder)
    .filter((file) => file.endsWith(".camleaf"))
    .map((file) => readFileSync(`${folder}/${file}`, "utf8")),
);

/** Ids point into their arrays, whatever the text was. */
function sound({ machines }: ResolvedFile): void {
  for (const m of machines) {
    const inside = (id: number, list: readonly unknown[]) => Number.isInteger(id) && id >= 0 && id < list.length;
    for (const wire of m.wires) expect(inside(wire.a, m.terminals) && inside(wire.b, m.terminals)).toBe(true);
    for (const contact of m.contacts) {
      expect(inside(contact.a, m.terminals) && inside(contact.b, m.terminals)).toBe(true);
      for (const literal of contact.closed.flat()) {
        expect(inside(literal.control, m.controls)).toBe(true);
        expect(literal.positions).toHaveLength(m.controls[literal.control]!.positions.length);
      }
    }
    for (const load of m.loads) {
      const wanted = load.control === undefined ? 1 : m.controls[load.control]!.positions.length;
      expect(load.impedance).toHaveLength(wanted);
      for (const z of load.impedance) if (z) expect(Number.isFinite(z.re) && Number.isFinite(z.im)).toBe(true);
      if (load.inrush) expect(Number.isFinite(load.inrush.re) && Number.isFinite(load.inrush.im)).toBe(true);
    }
    for (const control of m.controls) {
      expect(inside(control.rest, control.positions)).toBe(true);
      for (const rule of control.changes ?? []) {
        expect(rule.from).toHaveLength(control.positions.length);
        expect(rule.to).toHaveLength(control.positions.length);
      }
    }
    expect(new Set(m.controls.map(({ name }) => name)).size).toBe(m.controls.length);
  }
}

test("texts cut off anywhere", () => {
  fc.assert(
    fc.property(fc.nat(), fc.nat(), (which, cut) => {
      const text = texts[which % texts.length]!;
      const part = text.slice(0, cut % (text.length + 1));
      sound(resolveFile(new Map([["m", parse(part)]]), "m"));
    }),
    { numRuns: 300 },
  );
});

test("texts with words taken out, doubled and swapped", () => {
  fc.assert(
    fc.property(fc.nat(), fc.array(fc.tuple(fc.nat(), fc.nat(2)), { minLength: 1, maxLength: 12 }), (which, edits) => {
      const words = texts[which % texts.length]!.split(/(\s+)/);
      for (const [at, what] of edits) {
        const index = at % words.length;
        if (what === 0) words.splice(index, 1);
        else if (what === 1) words.splice(index, 0, words[(index * 7 + 3) % words.length]!);
        else [words[index], words[0]] = [words[0]!, words[index]!];
      }
      sound(resolveFile(new Map([["m", parse(words.join(""))]]), "m"));
    }),
    { numRuns: 300 },
  );
});

test("a half-typed heater is still a heater", () => {
  const { machines } = resolveFile(new Map([["m", parse("supply single 240 V 60 Hz\nheater HT 5400")]]), "m");
  expect(machines[0]!.loads.map(({ name }) => name)).toEqual(["HT"]);
});

test("growth is linear: four times the text takes less than twelve times the time", () => {
  const block = (n: number) => `
switch S${n} { positions shut open
  contact 1 to 2 in shut, else 3 rated 15 A 125 V
}
heater HT${n} 1000 W 120 V
limit HL${n} opens 121 C closes 93 C senses HT${n} rated 25 A 240 V
wire L to S${n}.1
wire S${n}.2 to HL${n} to HT${n} to N RD 14 AWG
expect HT${n} off when S${n} open
`;
  const tree = (blocks: number) =>
    parse(`supply single 120 V 60 Hz\n${Array.from({ length: blocks }, (_, n) => block(n)).join("")}`);
  const time = (files: ReadonlyMap<string, ReturnType<typeof parse>>) => {
    // The processor's own time: what else the computer does meanwhile does not count.
    const start = process.cpuUsage();
    resolveFile(files, "m");
    const { user, system } = process.cpuUsage(start);
    return user + system;
  };
  const [few, many] = [100, 400].map((blocks) => new Map([["m", tree(blocks)]]));
  let [small, large] = [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY];
  // Both in turn, the best of each: a busy moment of the computer then strikes both alike.
  for (let run = 0; run < 15; run++) {
    small = Math.min(small, time(few!));
    large = Math.min(large, time(many!));
  }
  expect(large / small).toBeLessThan(12);
});
