/** Which machines share a structure: those that a keystroke in the amounts of a load, or outside of words, made from each other. */
import { expect, test } from "vitest";
import { parse } from "../../grammar/parse.ts";
import { reparse } from "../../grammar/reparse.ts";
import { structureOf } from "../../server/machine/index.ts";
import { resolveFile } from "../../server/machine/resolve.ts";

const text = `machine "Larkfield bench"
supply 120/240 V 60 Hz
switch S "start"
heater H "main" 1500 W 240 V
motor M 1/3 hp 120 V
wire L1 to S to H to L2
wire L1 to M to N
`;
const file = "bench.camleaf";

function sharesAfter(edit: (text: string) => string): boolean {
  const tree = parse(text);
  const { machines } = resolveFile(new Map([[file, tree]]), file);
  const next = reparse(edit(text), tree);
  const now = resolveFile(new Map([[file, next]]), file, undefined, { tree, machines }).machines;
  return structureOf(now[0]!) === structureOf(machines[0]!);
}

test.each<[string, (text: string) => string, boolean]>([
  ["other watts", (t) => t.replace("1500 W", "1600 W"), true],
  ["watts of one more digit", (t) => t.replace("1500 W", "15000 W"), true],
  ["a remark", (t) => t.replace("wire L1 to M", "# the motor\nwire L1 to M"), true],
  ["watts and nothing else, as ohms", (t) => t.replace("1500 W", "38 ohm"), false],
  ["other volts", (t) => t.replace("1500 W 240 V", "1500 W 120 V"), false],
  ["another label", (t) => t.replace('"main"', '"rear"'), false],
  ["another name", (t) => t.replace("heater H", "heater HT"), false],
  ["a wire more", (t) => `${t}wire L1 to H.2\n`, false],
])("%s", (_, edit, shares) => {
  expect(sharesAfter(edit)).toBe(shares);
});
