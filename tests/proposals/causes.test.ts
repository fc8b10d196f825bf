/** Which edits bring a danger (trade judgement, no published source): told where they stand, together where they do it together. */
import { expect, it } from "vitest";
import { nodePlatform } from "../../server/node/platform.ts";
import { Service } from "../../server/service.ts";

const machine = `machine "m"
supply single 120 V 60 Hz breaker 15 A legs L N PE
frame CAB "cabinet"
switch S1 { positions off on
  contact 1 to 2 in on  rated 15 A 125 V
}
limit HL opens 110 C closes 90 C senses HT rated 15 A 125 V
limit HK opens 130 C closes 100 C senses HT rated 15 A 125 V
heater HT 1200 W 120 V on CAB
wire L to S1 to HL to HK to HT to N
bond CAB to PE
`;

/** The dangers as found: where, and what of the text stands there. */
async function dangers(proposal: string) {
  const service = new Service(nodePlatform);
  const text = `${machine}${proposal}`;
  service.put("/m.camleaf", 1, text);
  const { findings } = (await service.analysed("/m.camleaf"))!;
  const words = ({ from, to }: { from: number; to: number }) => text.slice(from, to);
  return findings
    .filter(({ id }) => id === "proposal-danger" || id === "proposal-bridges")
    .map(({ place, what, why, related, state }) => ({
      at: words(place),
      what,
      why,
      related: related.map((one) => words(one.place)),
      state: state?.positions.length,
    }));
}

it("the one edit of several that brings it, with the part in danger and a state that shows it", async () => {
  const found = await dangers(
    'proposal "x" {\n  change HL rated 20 A 125 V\n  change HT to 3000 W\n  add lamp PL 5 W 120 V\n  wire S1.2 to PL to N\n}\n',
  );
  expect(found.length).toBeGreaterThan(0);
  for (const each of found) expect(each.at).toBe("change HT to 3000 W");
});

it("each of two bridges at its own line", async () => {
  const found = await dangers('proposal "x" {\n  jumper HL.1 to HL.2\n  jumper HK.1 to HK.2\n}\n');
  const own = found.filter(({ what }) => what.includes("is bridged"));
  expect(own.map(({ at }) => at)).toEqual(["jumper HL.1 to HL.2", "jumper HK.1 to HK.2"]);
  expect(own[0]!.related).toContain("HL");
  expect(own[0]!.state).toBeGreaterThan(0);
});

it("what both bring only together, at the label, with both edits", async () => {
  const found = await dangers('proposal "x" {\n  jumper HL.1 to HL.2\n  jumper HK.1 to HK.2\n}\n');
  // With one limit left the coil has a protector; with none it has not.
  const both = found.find(({ what }) => /no .*(limit|protect)|nothing/i.test(what) && what.includes("HT"))!;
  expect(both.at).toBe('"x"');
  expect(both.why).toMatch(/^2 edits cause it together; without any one of them it is gone\./);
  expect(both.related.slice(0, 2)).toEqual(["jumper HL.1 to HL.2", "jumper HK.1 to HK.2"]);
});

it("a lead in two pieces through a new splice: both pieces, since neither bridges alone", async () => {
  const found = await dangers('proposal "x" {\n  add splice SP\n  wire HL.1 to SP\n  wire SP to HL.2\n}\n');
  const own = found.find(({ what }) => what.includes("HL is bridged"))!;
  expect(own.at).toBe('"x"');
  expect(own.related).toEqual(expect.arrayContaining(["wire HL.1 to SP", "wire SP to HL.2"]));
});

it("the same danger twice: each lead brings it by itself", async () => {
  const found = await dangers('proposal "x" {\n  jumper HL.1 to HL.2\n  wire S1.2 to HK.1\n}\n');
  const own = found.filter(({ what }) => what.includes("HL is bridged"));
  expect(own.map(({ at }) => at)).toEqual(["jumper HL.1 to HL.2", "wire S1.2 to HK.1"]);
});

it("what a proposal takes in by `with` is told there", async () => {
  const found = await dangers(
    'proposal "a" {\n  jumper HL.1 to HL.2\n}\nproposal "b" with "a" {\n  change HT to 1000 W\n}\n',
  );
  expect(found.map(({ at }) => at)).toEqual(["jumper HL.1 to HL.2", '"a"']);
});

it("through a proposal that takes in another one, too", async () => {
  const found = await dangers(
    'proposal "a" {\n  jumper HL.1 to HL.2\n}\nproposal "b" with "a" {\n  change HT to 1000 W\n}\nproposal "c" {\n  change HT to 900 W\n}\nproposal "d" with "b" {\n  rename HK to HZ\n}\n',
  );
  expect(found.map(({ at }) => at)).toEqual(["jumper HL.1 to HL.2", '"a"', '"b"']);
});

it("a long proposal is not taken apart: its dangers stand at its label", async () => {
  const lamps = Array.from({ length: 9 }, (_, i) => `  add lamp P${i} 5 W 120 V\n  wire L to P${i} to N\n`).join("");
  const found = await dangers(`proposal "x" {\n  jumper HL.1 to HL.2\n${lamps}}\n`);
  expect(found.map(({ at }) => at)).toEqual(['"x"']);
  expect(found[0]!.what).toContain("HL is bridged");
});
