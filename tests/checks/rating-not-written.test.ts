/** Contacts whose rating nobody wrote: told, but never more than as information. */
import { expect, it } from "vitest";
import { findingsOf, machinesOf } from "./analysed.ts";

const told = (one: string, two: string) =>
  findingsOf(
    machinesOf(`machine "Bench"
supply single 120 V 60 Hz breaker 15 A legs L N PE
switch SW {
  positions off low high
  contact 1 to 2 in low or high ${one}
  contact 1 to 3 in high
}
limit HL opens 121 C closes 93 C self-resetting senses HT ${two}
heater HT 1000 W 120 V
heater H2 100 W 120 V
lamp DL 5 W 120 V
limit HM opens 121 C closes 93 C self-resetting senses H2 rated 15 A 125 V
wire L to HL to SW.1
wire SW.2 to HT to N
wire SW.3 to HM to H2 to N
wire SW.3 to DL to N
`)[0]!,
    {},
  )
    .filter(({ id }) => id === "rating-not-written")
    .map(({ gravity, what }) => `${gravity}: ${what}`);

it("is said once for each part, with all that it switches", () => {
  expect(told("", "")).toEqual([
    "information: No rating is written for SW, which switches HT and H2, so it could not be judged.",
    "information: No rating is written for HL, which switches HT and H2, so it could not be judged.",
  ]);
});

it("names the contact where another one of the part has a rating", () => {
  expect(told("rated 15 A 125 V", "rated 15 A 125 V")).toEqual([
    "information: No rating is written for SW.1-3, which switches H2, so it could not be judged.",
  ]);
});

it("is said once for a machine without any rating", () => {
  const [machine] = machinesOf(`machine "Bench"
supply single 120 V 60 Hz breaker 15 A legs L N PE
switch SW 1 to 2 closed in on, open in off
limit HL opens 121 C closes 93 C self-resetting senses HT
heater HT 1000 W 120 V
wire L to SW to HL to HT to N
`);
  expect(findingsOf(machine!, {}).map(({ what }) => what)).toEqual([
    "No contact of this machine has a rating written, so none of those that switch HT could be judged.",
  ]);
});
