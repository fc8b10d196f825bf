import { expect, test } from "vitest";
import { intermediates } from "../../server/states/intermediates.ts";
import { MachineWriter } from "../support/machine-writer.ts";

test("the contacts of one timer step move in any order, a changeover breaks before it makes", () => {
  const out = new MachineWriter();
  const timer = out.input("TM", ["wash", "spin"]);
  const [a, b] = [out.joint("a"), out.joint("b")];
  const common = out.contact(out.L1, a, out.in(timer, 0), "wash");
  const other = out.contact(out.L1, b, out.in(timer, 1), "spin", common);
  const pump = out.contact(out.L1, out.joint(), out.in(timer, 1), "pump");
  const still = out.contact(out.L1, out.joint(), [[]], "always");
  const between = [...intermediates(out.machine(), Uint8Array.of(0, 0), Uint8Array.of(0, 1))];
  expect(between).toEqual([
    { opened: [], closed: [pump] },
    // Not `spin` without `wash` open: that would be make before break.
    { opened: [common], closed: [] },
    { opened: [common], closed: [pump] },
    { opened: [common], closed: [other] },
  ]);
  expect(between.some(({ opened, closed }) => [...opened, ...closed].includes(still))).toBe(false);
});

test("one contact has nothing in between", () => {
  const out = new MachineWriter();
  const sw = out.input("SW", ["off", "on"]);
  out.contact(out.L1, out.joint(), out.in(sw, 1));
  expect([...intermediates(out.machine(), Uint8Array.of(0, 0), Uint8Array.of(0, 1))]).toEqual([]);
});
