/** A few faults put into each sample; the whole list, beside other ways to choose readings, is printed by `npm run bench`. */
import { expect, test } from "vitest";
import { simulateAll, trials } from "./simulated.ts";

test.each(Object.keys(trials))("%s: the fault put in is named first after the suggested readings", (sample) => {
  const { noticed, found, readings, missed } = simulateAll(sample, "best", 7);
  expect(missed).toEqual([]);
  expect(noticed).toBeGreaterThan(3);
  expect(found).toBe(noticed);
  expect(readings).toBeLessThan(8);
});
