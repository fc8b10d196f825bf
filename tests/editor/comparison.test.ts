/** A proposal beside its machine, as data: rows lead to the text, drawings show the state of a row, what changed is marked. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { comparisonOf } from "../../server/editor/comparison.ts";
import { nodePlatform } from "../../server/node/platform.ts";
import { Service } from "../../server/service.ts";

const dryer = readFileSync(join(import.meta.dirname, "../../samples/electric-dryer.camleaf"), "utf8");

async function compared(proposal: string, row?: number) {
  const service = new Service(nodePlatform);
  const text = `${dryer}\n${proposal}`;
  service.put("/d.camleaf", 1, text);
  const snapshot = (await service.analysed("/d.camleaf"))!;
  const answer = comparisonOf(snapshot, undefined, text.length, row)!;
  const words = answer.rows.map(({ place }) => place && text.slice(place.from, place.to));
  const part = (side: "before" | "after", name: string) =>
    new RegExp(`<g class="(\\w+)"[^>]*data-name="${name}"`).exec(answer.pictures![side].svg)?.[1];
  return { answer, words, part };
}

describe("a thermostat jumped", () => {
  const proposal = 'proposal "jumped" {\n  jumper CT.1 to CT.2\n}\n';

  it("has the danger first, at the edit that causes it, and draws both machines in the state that shows it", async () => {
    const { answer, words, part } = await compared(proposal);
    expect(answer.rows[0]).toMatchObject({ weight: "danger", name: "CT", state: "TM in timed 1, CT open, DM running" });
    expect(words[0]).toBe("jumper CT.1 to CT.2");
    expect(answer.pictures!.before.state).toBe("TM in timed 1, CT open, DM running");
    // The same controls stand alike in both; the coil carries in the second only.
    expect([part("before", "HT"), part("after", "HT")]).toEqual(["hot", "carries"]);
  });

  it("marks the end that left its connection by a band, and the coil that works otherwise by a frame", async () => {
    const { answer } = await compared(proposal);
    for (const side of ["before", "after"] as const) {
      const { svg } = answer.pictures![side];
      expect(svg).toMatch(/<path class="band"/);
      expect(svg).toMatch(/class="framed works"/);
    }
  });

  it("draws the state of the row that is asked for", async () => {
    const { answer } = await compared(proposal);
    const row = answer.rows.findIndex(({ state }) => state !== undefined && !state.includes("timed"));
    const other = await compared(proposal, row);
    expect(other.answer.pictures!.after.state).toBe(answer.rows[row]!.state);
  });
});

it("leads to the edit where the part is new", async () => {
  const { answer, words } = await compared('proposal "lamp" {\n  add lamp PL 5 W 120 V\n  wire L1 to PL to N\n}\n');
  const row = answer.rows.findIndex(({ text }) => text.startsWith("PL is new"));
  expect(words[row]).toContain("add lamp PL");
  expect(answer.pictures!.after.svg).toMatch(/class="framed new"/);
  expect(answer.pictures!.before.svg).not.toMatch(/class="framed new"/);
});

it("says why one cannot be carried out, with the place", async () => {
  const { answer } = await compared('proposal "x" {\n  remove wire L1 to TM.B\n}\n');
  expect(answer.pictures).toBeUndefined();
  expect(answer.cannot[0]!.what).toMatch(/No wire runs straight/);
});
