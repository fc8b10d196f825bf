/** Whether a finding says something new: the same in another order is none, another subject is. */
import { expect, it } from "vitest";
import type { Finding } from "../../server/base/finding.ts";
import { findingsApart } from "../../server/proposals/same-finding.ts";
import { machinesOf } from "../checks/analysed.ts";

const machine = machinesOf(
  [
    "supply single 120 V 60 Hz",
    ...["A", "B", "C", "D", "E", "F"].map((name) => `lamp ${name} 10 W 120 V\nwire L to ${name} to N`),
  ].join("\n"),
)[0]!;
const finding = (what: string, at = "A", more: Partial<Finding> = {}): Finding => ({
  id: "x",
  gravity: "warning",
  what,
  advice: "",
  related: [],
  place: machine.parts.find(({ name }) => name === at)!.namePlace,
  ...more,
});
const news = (before: Finding, after: Finding) =>
  findingsApart([before], machine, [after], machine, (text) => text).news.length;

it.each([
  ["a list in another order", finding("A, B (lamp) and C stay live."), finding("C, A and B (lamp) stay live.", "B"), 0],
  [
    "who feeds whom",
    finding("A gets 24 V through B though C is open."),
    finding("B gets 24 V through A though C is open.", "B"),
    1,
  ],
  [
    "fewer amps through the same contact",
    finding("A makes 22.8 A; rated 15 A at 125 V.", "A", { id: "contact-over-rating" }),
    finding("A makes 18.8 A; rated 15 A at 125 V.", "A", { id: "contact-over-rating" }),
    0,
  ],
  [
    "more amps",
    finding("A makes 900 mA; rated 0.5 A at 125 V.", "A", { id: "contact-over-rating" }),
    finding("A makes 1.2 A; rated 0.5 A at 125 V.", "A", { id: "contact-over-rating" }),
    1,
  ],
  [
    "fewer amps against a smaller rating",
    finding("A makes 22.8 A; rated 15 A at 125 V.", "A", { id: "contact-over-rating" }),
    finding("A makes 18.8 A; rated 10 A at 125 V.", "A", { id: "contact-over-rating" }),
    1,
  ],
  ["another amount", finding("A carries 20 A."), finding("A carries 25 A."), 1],
  [
    "an amount that no meter tells apart",
    finding("A breaks 6.14 A; rated 6 A."),
    finding("A breaks 6.16 A; rated 6 A."),
    0,
  ],
  ["the same number of another unit", finding("A breaks 6 A."), finding("A breaks 6 mA."), 1],
  ["one more in the list", finding("A and B stay live."), finding("A, B and C stay live."), 1],
  [
    "another choice of a long list, all of them shown",
    finding("A, B, C and 2 more stay live.", "A", {
      related: "ABCDE".split("").map((name) => ({ place: machine.place, text: `${name} stays live` })),
    }),
    finding("D, B, E and 2 more stay live."),
    0,
  ],
  ["graver now", finding("A hums.", "A", { gravity: "information" }), finding("A hums.", "A", { gravity: "error" }), 1],
  ["another check", finding("A hums."), finding("A hums.", "A", { id: "y" }), 1],
])("%s", (_, before, after, count) => {
  expect(news(before, after)).toBe(count);
});
